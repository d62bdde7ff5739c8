// Other devices: what they must show to come in, what ends it, and what nobody gets without it.
import assert from 'node:assert/strict';
import { once } from 'node:events';
import { readFileSync, statSync } from 'node:fs';
import http2 from 'node:http2';
import https from 'node:https';
import path from 'node:path';
import tls from 'node:tls';
import { test } from 'node:test';
import { setTimeout as sleep } from 'node:timers/promises';
import { openFile } from '../lib/folder.js';
import { Caller, PASSPHRASE, authorityOf, codeOf, lanOf, onTheNetwork } from '../lib/network.js';
import { lengthwiseReads } from '../lib/tool.js';

/** A stream shows that it lives each 15 s, and sees then whether its session does, ms; a busy machine is late. */
const BEAT = 20_000;

async function withNetwork(use, options) {
  const studio = await onTheNetwork(options);
  try {
    await use(studio);
  } finally {
    await studio.stop();
  }
}

test('a device comes in with a code once and the passphrase, over TLS it can verify', () =>
  withNetwork(async (studio) => {
    const caller = new Caller(studio);
    const away = await caller.ask('/');
    assert.deepEqual([away.status, away.headers.location], [303, '/join']);
    await caller.comesIn(studio);
    assert.deepEqual([...caller.cookies.keys()].sort(), ['__Host-lengthwise', '__Host-lengthwise-paired']);
    assert.equal((await caller.ask('/')).status, 200);
    const golfer = await openFile(studio, 'Ona Network');
    assert.match((await caller.ask(golfer)).text, /Ona Network/);
    // what is kept lets nobody in, and is its owner's alone
    const kept = readFileSync(studio.file.replace(/\.db$/, '.access'), 'utf8');
    for (const secret of [...caller.cookies.values(), PASSPHRASE]) assert.ok(!kept.includes(secret));
    assert.match(kept, /\$argon2id\$v=19\$m=19456,t=2,p=1\$/);
    for (const ending of ['access', 'authority']) {
      assert.equal(statSync(studio.file.replace(/db$/, ending)).mode & 0o777, 0o600, ending);
    }
  }));

test('the certificate is for this machine alone, and its authority for a local network alone', () =>
  withNetwork(async (studio) => {
    const { port } = new URL(lanOf(studio));
    const peer = await new Promise((resolve, reject) => {
      const socket = tls.connect({ host: '127.0.0.1', port, ca: authorityOf(studio) }, () => {
        const certificate = socket.getPeerCertificate(true);
        resolve({ certificate, version: socket.getProtocol() });
        socket.end();
      });
      socket.on('error', reject);
    });
    assert.equal(peer.version, 'TLSv1.3');
    assert.equal(peer.certificate.subjectaltname, 'IP Address:127.0.0.1');
    const days = (new Date(peer.certificate.valid_to) - new Date(peer.certificate.valid_from)) / 86_400_000;
    assert.equal(days, 398);
    assert.ok(peer.certificate.issuerCertificate.subject.CN.startsWith('Lengthwise studio on '));
    // the fingerprint on the laptop's screen is the authority's
    const fingerprint = peer.certificate.issuerCertificate.fingerprint256;
    assert.ok(studio.told.includes(fingerprint));
    assert.ok((await studio.page('/house/devices')).includes(fingerprint));
    const stranger = new Caller(studio, { ca: undefined });
    await assert.rejects(stranger.ask('/join'), /self-signed|unable to verify|issuer/);
    // plain words on the same port are not answered
    const plain = lanOf(studio).replace('https', 'http');
    await assert.rejects(fetch(plain));
  }));

/** What a client and whatever listens on a port agree on: the version of TLS, or why none. Who it is counts nothing here. */
const agreedOn = (port, versions) =>
  new Promise((resolve) => {
    const socket = tls.connect({ host: '127.0.0.1', port, rejectUnauthorized: false, ...versions }, () => {
      resolve(socket.getProtocol());
      socket.end();
    });
    socket.on('error', ({ code }) => resolve(code));
  });

test('TLS 1.2 is agreed on, and nothing older, with a client that would', () =>
  withNetwork(async (studio) => {
    const old = { minVersion: 'TLSv1', maxVersion: 'TLSv1.1', ciphers: 'ALL:@SECLEVEL=0' };
    // the same client meets one who is content with it
    const { certificate_pem: cert, key_pem: key } = JSON.parse(readFileSync(studio.file.replace(/\.db$/, '.authority'), 'utf8'));
    const content = tls.createServer({ cert, key, ...old }).listen(0, '127.0.0.1');
    await once(content, 'listening');
    const { port } = new URL(lanOf(studio));
    try {
      for (const version of ['TLSv1', 'TLSv1.1']) {
        const asked = { ...old, maxVersion: version };
        assert.equal(await agreedOn(content.address().port, asked), version);
        // an alert is what the other side says
        assert.match(await agreedOn(port, asked), /^ERR_SSL_\w+_ALERT_/, version);
      }
    } finally {
      content.close();
    }
    assert.equal(await agreedOn(port, { maxVersion: 'TLSv1.2' }), 'TLSv1.2');
  }));

/** Addresses that anyone may ask, and what they answer. */
const OPEN = { '/join': 200, '/sign-in': 200, '/authority.crt': 200, '/sign-out': 405 };

test('no address of the table answers a stranger but the way in', () =>
  withNetwork(async (studio) => {
    const stranger = new Caller(studio);
    const source = ['route.rs', 'api.rs'].map((file) => readFileSync(new URL(`../../crates/web/src/${file}`, import.meta.url), 'utf8'));
    const addresses = source.flatMap((text, place) =>
      [...text.matchAll(/^\s*at\(\s*"([^"]+)"/gm)].map(([, address]) => (place === 1 ? `/api/v1${address}` : address)),
    );
    assert.ok(addresses.length > 90, `${addresses.length} addresses`);
    for (const address of addresses) {
      const real = address.replace(/\{\w+\}/g, '01a213a9-f4c5-76d1-9632-000000000001');
      if (address.startsWith('/assets/')) continue;
      const page = await stranger.ask(real);
      const written = await stranger.post(real, { name: 'x' });
      if (address in OPEN) {
        assert.equal(page.status, OPEN[address], address);
        continue;
      }
      const isProgram = address.startsWith('/api/');
      assert.ok([303, 401, 405].includes(page.status), `${address}: ${page.status}`);
      if (page.status === 303) assert.equal(page.headers.location, '/join', address);
      if (isProgram) assert.equal(JSON.parse(page.text).error.kind, 'not_let_in', address);
      assert.equal(written.status, 401, `POST ${address}: ${written.status}`);
      // the pace of a person, not of a flood
      await new Promise((resolve) => setTimeout(resolve, 70));
    }
    assert.equal((await stranger.ask('/no-such-page')).headers.location, '/join');
  }));

test('a code is good once, for five tries; a wrong one tells nothing', () =>
  withNetwork(async (studio) => {
    const code = await codeOf(studio);
    const wrong = String((Number(code) + 1) % 1e8).padStart(8, '0');
    const caller = new Caller(studio);
    const words = new Set();
    for (let tries = 0; tries < 5; tries += 1) {
      const answer = await caller.post('/join', { code: wrong, name: 'x' });
      assert.equal(answer.status, 422);
      words.add(answer.text.replace(/\s+/g, ' '));
    }
    assert.equal(words.size, 1);
    assert.equal((await caller.post('/join', { code, name: 'x' })).status, 422, 'the code is over');
    const another = await codeOf(studio);
    const late = await caller.post('/join', { code: another, name: 'x' });
    assert.equal(late.status, 429);
    assert.ok(Number(late.headers['retry-after']) > 0);
    assert.equal(caller.cookies.size, 0);
  }));

test('a thousand wrong passphrases let nobody in, and the laptop is not locked out', () =>
  withNetwork(async (studio) => {
    const caller = new Caller(studio);
    await caller.post('/join', { code: await codeOf(studio), name: 'x' });
    const statuses = {};
    for (let tries = 0; tries < 1000; tries += 1) {
      const { status } = await caller.post('/sign-in', { passphrase: `guess number ${tries} of many` });
      statuses[status] = (statuses[status] ?? 0) + 1;
    }
    assert.equal(statuses[303] ?? 0, 0);
    assert.ok(statuses[422] <= 6, JSON.stringify(statuses));
    assert.equal((await caller.post('/sign-in', { passphrase: PASSPHRASE })).status, 429);
    assert.match(await studio.page('/'), /Lengthwise/);
  }));

test('a stranger takes no try from the tablets, and fills no memory', () =>
  withNetwork(async (studio) => {
    const tablet = await new Caller(studio).comesIn(studio);
    const stranger = new Caller(studio);
    for (let tries = 0; tries < 110; tries += 1) {
      const answer = await stranger.post('/sign-in', { passphrase: PASSPHRASE });
      assert.deepEqual([answer.status, answer.headers.location], [303, '/join']);
      assert.equal((await stranger.post('/join', { code: '00000000', name: 'x' })).status, 422, 'no code is shown');
      // the pace of a person, not of a flood
      await new Promise((resolve) => setTimeout(resolve, 60));
    }
    assert.equal(stranger.cookies.size, 0);
    assert.equal((await tablet.post('/confirm', { passphrase: 'not the passphrase', next: '/' })).status, 422);
    assert.equal((await tablet.post('/confirm', { passphrase: PASSPHRASE, next: '/' })).status, 303);
    const large = await stranger.post('/sign-in', { passphrase: 'x'.repeat(40_000) });
    assert.equal(large.status, 413);
    assert.equal((await stranger.ask('/sign-in', { headers: { 'X-Long': 'x'.repeat(20_000) } })).status, 431);
    const multipart = { 'Content-Type': 'multipart/form-data; boundary=x' };
    assert.equal((await stranger.post('/sign-in', { passphrase: 'x'.repeat(40_000) }, multipart)).status, 413);
  }));

test('one device cannot take the connections of all', () =>
  withNetwork(async (studio) => {
    const { hostname, port } = new URL(lanOf(studio));
    const connect = () =>
      new Promise((resolve) => {
        const socket = tls.connect({ host: hostname, port, ca: authorityOf(studio) }, () => resolve(socket));
        socket.on('error', () => resolve(undefined));
      });
    const open = [];
    for (let place = 0; place < 32; place += 1) open.push(await connect());
    assert.ok(open.every(Boolean));
    assert.equal(await connect(), undefined, 'one too many is closed without a word');
    assert.match(await studio.page('/'), /Lengthwise/, 'the laptop has its own');
    open.pop().destroy();
    let again;
    for (let tries = 0; tries < 40 && !again; tries += 1) {
      await new Promise((resolve) => setTimeout(resolve, 50));
      again = await connect();
    }
    assert.ok(again, 'a place that was given back');
    for (const socket of [...open, again]) socket.destroy();
  }));

test('signing out, shutting out, another passphrase: each ends what it should at once', () =>
  withNetwork(async (studio) => {
    const [one, other] = [await new Caller(studio).comesIn(studio), await new Caller(studio).comesIn(studio)];
    const taken = one.cookies.get('__Host-lengthwise');
    await one.post('/sign-out', {});
    one.cookies.set('__Host-lengthwise', taken);
    assert.equal((await one.ask('/')).headers.location, '/sign-in?next=%2F', 'a kept cookie is worth nothing');
    await one.post('/sign-in', { passphrase: PASSPHRASE });
    // a session is worth nothing on another device
    const thief = new Caller(studio);
    thief.cookies.set('__Host-lengthwise', one.cookies.get('__Host-lengthwise'));
    assert.equal((await thief.ask('/')).headers.location, '/join');
    const number = (await studio.page('/house/devices')).match(/\/house\/devices\/(\d+)\/forget/)[1];
    await studio.save(`/house/devices/${number}/forget`, {});
    assert.equal((await other.ask('/')).headers.location, '/join', 'the newest device was shut out');
    assert.equal((await one.ask('/')).status, 200);
    const refused = await studio.post('/house/devices/passphrase', { old: 'not it, not it, not it', new: 'eight dark herons swim' });
    assert.equal(refused.status, 422);
    await studio.save('/house/devices/passphrase', { old: PASSPHRASE, new: 'eight dark herons swim' });
    assert.equal((await one.ask('/')).headers.location, '/sign-in?next=%2F');
    assert.equal((await one.post('/sign-in', { passphrase: PASSPHRASE })).status, 422);
    assert.equal((await one.post('/sign-in', { passphrase: 'eight dark herons swim' })).status, 303);
  }));

test('a forgotten passphrase is set anew by a command on the machine, which ends every session at once', () =>
  withNetwork(async (studio) => {
    const set = (line, ...more) => lengthwiseReads(line, studio.file, 'passphrase', ...more);
    const [one, other] = [await new Caller(studio).comesIn(studio), await new Caller(studio).comesIn(studio)];
    const refused = set('too short\n');
    assert.equal(refused.code, 2, refused.err);
    assert.equal((await one.ask('/')).status, 200, 'nothing has changed');
    const NEW = 'eight dark herons swim';
    const { code, out, err } = set(`${NEW}\n`);
    assert.deepEqual([code, out, err], [0, 'The passphrase is set. Everyone on other devices is signed out.\n', '']);
    for (const caller of [one, other]) assert.equal((await caller.ask('/')).headers.location, '/sign-in?next=%2F');
    assert.equal((await one.post('/sign-in', { passphrase: PASSPHRASE })).status, 422);
    assert.equal((await one.post('/sign-in', { passphrase: NEW })).status, 303);
    assert.equal((await one.ask('/')).status, 200);
    assert.equal((await other.ask('/')).headers.location, '/sign-in?next=%2F');
    // five words drawn by chance, told here alone
    const drawn = set('', '--draw');
    const [, words] = drawn.out.match(/^((?:[a-z-]+ ){4}[a-z-]+)\nThe passphrase is set\./);
    assert.equal((await one.ask('/')).headers.location, '/sign-in?next=%2F');
    assert.equal((await one.post('/sign-in', { passphrase: NEW })).status, 422);
    assert.equal((await one.post('/sign-in', { passphrase: words })).status, 303);
  }));

test('the passphrase once more gives another secret, and signing in again ends the session before', () =>
  withNetwork(async (studio) => {
    const caller = await new Caller(studio).comesIn(studio);
    const session = () => caller.cookies.get('__Host-lengthwise');
    const was = session();
    /** What the first page answers who comes with a secret. */
    const withSecret = async (secret) => {
      const now = session();
      caller.cookies.set('__Host-lengthwise', secret);
      const { status } = await caller.ask('/');
      caller.cookies.set('__Host-lengthwise', now);
      return status;
    };
    assert.equal((await caller.post('/confirm', { passphrase: 'not the passphrase', next: '/' })).status, 422);
    assert.equal(session(), was);
    const proved = await caller.post('/confirm', { passphrase: PASSPHRASE, next: '/\t/evil.example' });
    assert.deepEqual([proved.status, proved.headers.location], [303, '/'], 'and it leads nowhere else');
    const other = session();
    assert.notEqual(other, was);
    assert.deepEqual([await withSecret(was), await withSecret(other)], [303, 200]);
    await caller.post('/sign-in', { passphrase: PASSPHRASE });
    assert.deepEqual([await withSecret(other), await withSecret(session())], [303, 200]);
    const { sessions } = JSON.parse(readFileSync(studio.file.replace(/\.db$/, '.access'), 'utf8'));
    assert.equal(sessions.length, 1);
  }));

test('the log has who came in, from where, and what was refused', () =>
  withNetwork(async (studio) => {
    const caller = new Caller(studio);
    await caller.post('/join', { code: '00000000', name: 'Quokkadevice' });
    await caller.comesIn(studio);
    await caller.post('/confirm', { passphrase: 'Quokkaguess of some length', next: '/' });
    await caller.post('/confirm', { passphrase: PASSPHRASE, next: '/' });
    assert.equal((await caller.post('/house/devices/code', {})).status, 403);
    await caller.post('/sign-out', {});
    const file = path.join(path.dirname(studio.file), 'log', 'lengthwise.log');
    const log = readFileSync(file, 'utf8');
    const lines = log.trim().split('\n').map((line) => JSON.parse(line));
    const said = lines.filter(({ message }) => message !== 'answered' && message !== 'saved');
    const [device, session] = [1, 2];
    const wanted = [
      { message: 'the passphrase was set' },
      { message: 'a code was wrong', came: '127.0.0.1' },
      { message: 'a code for a new device is shown' },
      { message: 'a device was let in', device, came: '127.0.0.1' },
      { message: 'signed in', session, device, came: '127.0.0.1' },
      { message: 'a passphrase was wrong', came: '127.0.0.1' },
      { message: 'the passphrase was typed once more', session, came: '127.0.0.1' },
      { message: 'signed out', session },
    ];
    const found = wanted.map((want) => said.find((line) => Object.entries(want).every(([name, value]) => line[name] === value)));
    assert.deepEqual(wanted.filter((_, place) => !found[place]), [], JSON.stringify(said));
    const places = found.map((line) => said.indexOf(line));
    assert.deepEqual(places, places.toSorted((one, other) => one - other), 'in their order');
    assert.ok(lines.some((line) => line.route === '/house/devices/code' && line.status === 403 && line.session === session));
    for (const word of ['Quokka', PASSPHRASE, ...caller.cookies.values()]) assert.ok(!log.includes(word), word);
  }));

test('what others would try first is no passphrase', () =>
  withNetwork(
    async (studio) => {
      assert.match((await new Caller(studio).ask('/join')).text, /No passphrase is set yet/);
      await studio.save('/house', { name: 'Hilltop Meadow Barn' });
      for (const bad of ['short', 'passwordpassword', '1qaz2wsx3edc4rfv', 'Hilltop meadow barn 2026', '']) {
        const answer = await studio.post('/house/devices/passphrase', { new: bad });
        assert.equal(answer.status, 422, bad);
      }
    },
    { passphrase: null },
  ));

test('only the laptop shows codes and sets the passphrase; a wrong host or origin is turned away', () =>
  withNetwork(async (studio) => {
    const caller = await new Caller(studio).comesIn(studio);
    assert.equal((await caller.post('/house/devices/code', {})).status, 403);
    assert.equal((await caller.post('/house/devices/passphrase', { old: PASSPHRASE, new: 'eight dark herons swim' })).status, 403);
    assert.equal((await caller.ask('/', { headers: { Host: 'evil.example' } })).status, 421);
    const port = new URL(studio.url).port;
    assert.equal((await caller.ask('/', { headers: { Host: `127.0.0.1:${port}` } })).status, 421, "the laptop's own port");
    assert.equal((await caller.post('/house', { name: 'x' }, { Origin: 'https://evil.example' })).status, 403);
    assert.equal((await caller.post('/house', { name: 'x' }, { Origin: lanOf(studio).replace('https', 'http') })).status, 403);
    const answer = await caller.ask('/');
    assert.match(answer.headers['content-security-policy'], /default-src 'none'/);
    assert.equal(answer.headers['cache-control'], 'no-store');
    assert.ok(!('access-control-allow-origin' in answer.headers));
  }));

test('HTTP/2 is spoken, and its own kind of host is held against the same names', () =>
  withNetwork(async (studio) => {
    const url = lanOf(studio);
    const ask = (authority) =>
      new Promise((resolve, reject) => {
        const session = http2.connect(url, { ca: authorityOf(studio) }).on('error', reject);
        const request = session.request({ ':path': '/join', ...(authority && { ':authority': authority }) });
        request.on('response', (headers) => {
          resolve({ status: headers[':status'], protocol: session.alpnProtocol });
          session.destroy();
        });
        request.on('error', reject);
        request.end();
      });
    assert.deepEqual(await ask(), { status: 200, protocol: 'h2' });
    assert.equal((await ask('evil.example')).status, 421);
  }));

test('a flood from one device is slowed down', () =>
  withNetwork(async (studio) => {
    const caller = await new Caller(studio).comesIn(studio);
    // over a few connections, as a browser has them: what is slow is then the pace alone
    caller.options.agent = new https.Agent({ keepAlive: true, maxSockets: 6 });
    const statuses = await Promise.all(Array.from({ length: 300 }, () => caller.ask('/sign-in').then(({ status }) => status)));
    caller.options.agent.destroy();
    const slowed = statuses.filter((status) => status === 429).length;
    assert.ok(slowed >= 60, `${slowed} of 300 slowed down`);
    assert.ok(statuses.every((status) => [200, 429].includes(status)));
    assert.match(await studio.page('/'), /Lengthwise/, 'the laptop is answered meanwhile');
  }));

test('a session follows the studio from eight pages, and no more', () =>
  withNetwork(async (studio) => {
    const caller = await new Caller(studio).comesIn(studio);
    const streams = [];
    /** Opens a stream and leaves it open. */
    const follow = async () => {
      streams.push(await caller.follow());
      return streams.at(-1);
    };
    for (let page = 0; page < 8; page += 1) assert.equal((await follow()).status, 200);
    const ninth = await follow();
    assert.equal(ninth.status, 503);
    await ninth.ended;
    assert.match(ninth.text, /8 pages of this device follow the studio already/);
    assert.equal((await studio.get('/events', { signal: AbortSignal.timeout(8000) })).status, 200, 'others have places');
    // a page that closes gives its place back
    streams[0].close();
    let status;
    for (let tries = 0; tries < 40 && status !== 200; tries += 1) {
      await new Promise((resolve) => setTimeout(resolve, 100));
      ({ status } = await follow());
    }
    assert.equal(status, 200);
    for (const stream of streams) stream.close();
  }));

/** A session follows the studio and is ended on the laptop; the stream has to end too, whatever happens `meanwhile`. */
async function endsWithItsSession(studio, meanwhile) {
  const caller = await new Caller(studio).comesIn(studio);
  const golfer = await openFile(studio, 'Ossi Over');
  const stream = await caller.follow();
  let isOver = false;
  stream.ended.then(() => (isOver = true));
  const told = () => stream.text.match(/^event: ?change/gm)?.length ?? 0;
  await studio.save(`${golfer}/remarks`, { text: 'here' });
  for (let tries = 0; tries < 50 && told() === 0; tries += 1) await sleep(100);
  assert.equal(told(), 1, 'a session that lasts is told');
  const [, number] = (await studio.page('/house/devices')).match(/\/house\/sessions\/(\d+)\/end/);
  await studio.save(`/house/sessions/${number}/end`, {});
  assert.equal((await caller.ask('/')).status, 303);
  for (const begun = Date.now(); !isOver && Date.now() - begun < BEAT; ) await meanwhile(golfer);
  stream.close();
  assert.ok(isOver, `it is open still, and told of ${told() - 1} changes since`);
}

test('a stream that is open ends soon after its session', () =>
  withNetwork((studio) => endsWithItsSession(studio, () => sleep(100))));

test('a stream that is open ends soon after its session while changes keep coming', () =>
  withNetwork((studio) =>
    endsWithItsSession(studio, async (golfer) => {
      await studio.save(`${golfer}/remarks`, { text: 'here again' });
      await sleep(2000);
    }),
  ));

test('who sends slowly is let go, and holds up nobody', () =>
  withNetwork(async (studio) => {
    const { hostname, port } = new URL(lanOf(studio));
    /** Sends a little every second until the other side ends it; gives what came back and after how long. */
    const drip = (head, piece) =>
      new Promise((resolve, reject) => {
        const began = Date.now();
        const socket = tls.connect({ host: hostname, port, ca: authorityOf(studio), ALPNProtocols: ['http/1.1'] }, () => socket.write(head));
        let text = '';
        const drops = setInterval(() => socket.write(piece), 1000);
        const end = () => {
          clearInterval(drops);
          resolve({ text, seconds: (Date.now() - began) / 1000 });
        };
        socket.on('data', (part) => {
          text += part;
          clearInterval(drops);
          socket.end();
        });
        socket.on('close', end);
        // what is written to a connection that was let go comes back as an error
        socket.on('error', (error) => (['ECONNRESET', 'EPIPE'].includes(error.code) ? end() : reject(error)));
      });
    const host = `Host: ${hostname}:${port}\r\n`;
    const form = 'Content-Type: application/x-www-form-urlencoded\r\n';
    /** Agrees on TLS and asks nothing. */
    const silent = (protocol) =>
      new Promise((resolve) => {
        const began = Date.now();
        const socket = tls.connect({ host: hostname, port, ca: authorityOf(studio), ALPNProtocols: [protocol] });
        socket.on('error', () => {}).on('close', () => resolve({ text: '', seconds: (Date.now() - began) / 1000 }));
        socket.resume();
      });
    const slow = Promise.all([
      drip(`POST /sign-in HTTP/1.1\r\n${host}Origin: ${lanOf(studio)}\r\n${form}Content-Length: 4000\r\n\r\n`, 'a'),
      drip(`GET /sign-in HTTP/1.1\r\n${host}`, 'X-Slow: a\r\n'),
      silent('http/1.1'),
      silent('h2'),
    ]);
    const began = Date.now();
    assert.equal((await new Caller(studio).ask('/sign-in')).status, 200);
    assert.ok(Date.now() - began < 5000, 'others are answered meanwhile');
    const [body, headers, ...nothing] = await slow;
    assert.match(body.text, /^HTTP\/1\.1 408 /);
    for (const { seconds } of [body, headers, ...nothing]) assert.ok(seconds > 10 && seconds < 40, `${seconds} s`);
    assert.ok(!headers.text.includes(' 200 '));
  }));

test('with --passphrase always the laptop itself is asked', async () => {
  const studio = await onTheNetwork({ passphrase: null, more: ['--passphrase', 'always'] });
  try {
    const answer = await studio.get('/', { headers: { Accept: 'text/html' }, redirect: 'manual' });
    assert.deepEqual([answer.status, answer.headers.get('location')], [303, '/sign-in?next=%2F']);
    assert.equal((await studio.post('/house/devices/code', {})).status, 401);
  } finally {
    await studio.stop();
  }
});
