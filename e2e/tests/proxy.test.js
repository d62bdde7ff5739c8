// A proxy of somebody else's before the studio, with the settings the guide gives: TLS ends there, and nothing else does.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import http2 from 'node:http2';
import https from 'node:https';
import net from 'node:net';
import path from 'node:path';
import tls from 'node:tls';
import { test } from 'node:test';
import { openFile } from '../lib/folder.js';
import { Caller, PASSPHRASE, codeOf } from '../lib/network.js';
import { NAME, NO_PROXY, Proxy, freePort } from '../lib/proxy.js';
import { Studio } from '../lib/studio.js';

/** How long a change may take to every page. */
const LIVE = 2000;
const skip = { skip: NO_PROXY };

/** A device: it comes from an address of its own, and asks the proxy under the studio's name. */
class Device extends Caller {
  constructor(proxy, from) {
    const there = { hostname: '127.0.0.1', port: proxy.port, servername: NAME, localAddress: from };
    super(null, { ca: proxy.certificate, ...there }, `https://${NAME}`);
  }

  ask(address, { headers = {}, ...asked } = {}) {
    return super.ask(address, { ...asked, headers: { Host: NAME, ...headers } });
  }
}

/** A studio that takes connections of a proxy alone, and the proxy. */
async function behindProxy(use) {
  const port = await freePort();
  const more = ['--lan', `127.0.0.1:${port}`, '--behind-proxy', '127.0.0.1', '--lan-name', NAME];
  const studio = await new Studio({ more }).open();
  const proxy = new Proxy();
  try {
    await studio.save('/house/devices/passphrase', { new: PASSPHRASE });
    await proxy.open(port);
    await use({ studio, proxy, port });
  } finally {
    await proxy.stop();
    await studio.stop();
  }
}

const linesOf = (studio) =>
  readFileSync(path.join(path.dirname(studio.file), 'log', 'lengthwise.log'), 'utf8')
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line));

test('a device comes in through the proxy, and is told of changes as they happen', skip, () =>
  behindProxy(async ({ studio, proxy }) => {
    const device = new Device(proxy, '127.0.0.2');
    assert.deepEqual([(await device.ask('/')).status, (await device.ask('/')).headers.location], [303, '/join']);
    await device.comesIn(studio);
    assert.equal((await device.ask('/')).status, 200);
    const cookie = [...device.cookies].map((pair) => pair.join('=')).join('; ');
    const stream = https.get({ ...device.options, path: '/events', headers: { Host: NAME, Cookie: cookie } });
    let told = '';
    let heard = () => {};
    const hears = (what) =>
      new Promise((resolve, reject) => {
        const late = setTimeout(() => reject(new Error(`not told in ${LIVE} ms: ${told}`)), LIVE);
        heard = () => {
          if (!what.test(told)) return;
          clearTimeout(late);
          resolve();
        };
        heard();
      });
    stream.on('response', (answer) => {
      assert.equal(answer.headers['content-type'], 'text/event-stream');
      answer.setEncoding('utf8').on('data', (text) => {
        told += text;
        heard();
      });
    });
    stream.on('error', () => {});
    try {
      await hears(/event: ?beat/);
      assert.ok(!told.includes('event: change'));
      const golfer = await openFile(studio, 'Pia Proxy');
      await hears(new RegExp(`event: ?change[^]*data: ?${golfer.split('/').at(-1)}`));
      assert.match((await device.ask(golfer)).text, /Pia Proxy/);
      // and what the device writes reaches the laptop
      assert.equal((await device.post(`${golfer}/remarks`, { text: 'From the bay.' })).status, 303);
      assert.match(await studio.page(golfer), /From the bay\./);
    } finally {
      stream.destroy();
    }
  }));

test('a photo as large as may be goes through the proxy, and HTTP/2 does', skip, () =>
  behindProxy(async ({ studio, proxy }) => {
    const device = await new Device(proxy, '127.0.0.2').comesIn(studio);
    const golfer = await openFile(studio, 'Pia Photo');
    await studio.save(`${golfer}/clubs`, { 'n.1.name': '7 iron', 'n.1.length': '37' });
    const [, club] = (await studio.page(`${golfer}/clubs`)).match(/href="([^"]+)" aria-label="More of/);
    const edge = 'x-photo-edge';
    const part = `--${edge}\r\nContent-Disposition: form-data; name="photo"; filename="a.jpg"\r\nContent-Type: image/jpeg\r\n\r\n`;
    const body = Buffer.concat([Buffer.from(part), Buffer.alloc(20 * 1024 * 1024, 1), Buffer.from(`\r\n--${edge}--\r\n`)]);
    const headers = { 'Content-Type': `multipart/form-data; boundary=${edge}`, 'Content-Length': body.length };
    const answer = await device.ask(`${club}/photo`, { method: 'POST', headers, body });
    assert.equal(answer.status, 422, 'it came whole to the studio, which finds no photo in it');
    assert.match(answer.text, /Lengthwise/, 'and says so on a page of its own');
    const spoken = await new Promise((resolve, reject) => {
      const there = { host: '127.0.0.1', port: proxy.port, ca: proxy.certificate, servername: NAME, ALPNProtocols: ['h2'] };
      const session = http2.connect(`https://${NAME}`, { createConnection: () => tls.connect(there) });
      session.on('error', reject);
      const request = session.request({ ':path': '/join', ':authority': NAME });
      request.on('response', (got) => {
        resolve([session.alpnProtocol, got[':status']]);
        session.destroy();
      });
      request.on('error', reject).end();
    });
    assert.deepEqual(spoken, ['h2', 200]);
  }));

test('what a device says of itself is not believed', skip, () =>
  behindProxy(async ({ studio, proxy }) => {
    const device = new Device(proxy, '127.0.0.2');
    for (let tries = 0; tries < 6; tries += 1) {
      // a code is good for five tries
      if (tries % 5 === 0) await codeOf(studio);
      const claims = {
        'X-Forwarded-For': `10.9.8.${tries}`,
        'X-Real-IP': '127.0.0.1',
        Forwarded: 'for=127.0.0.1;proto=https',
        'X-Forwarded-Proto': 'http',
        'X-Forwarded-Host': 'evil.example',
      };
      const answer = await device.post('/join', { code: '00000000', name: 'x' }, claims);
      assert.equal(answer.status, tries < 5 ? 422 : 429, 'one device, whatever it says');
    }
    // the laptop is not what it can pass for, and another device still may try
    assert.equal((await device.ask('/house/devices', { headers: { 'X-Forwarded-For': '127.0.0.1' } })).headers.location, '/join');
    assert.equal((await new Device(proxy, '127.0.0.3').post('/join', { code: '00000000', name: 'x' })).status, 422);
    const wrong = linesOf(studio).filter(({ message }) => message === 'a code was wrong');
    assert.deepEqual(
      wrong.map(({ came }) => came),
      [...Array.from({ length: 5 }, () => '127.0.0.2'), '127.0.0.3'],
    );
    assert.equal((await device.ask('/join', { headers: { Host: 'evil.example' } })).status, 421);
  }));

test('who is not the proxy gets no word', skip, () =>
  behindProxy(async ({ port }) => {
    /** What comes back to who asks past the proxy. */
    const past = async (from, headers) => {
      const socket = net.connect({ port, host: '127.0.0.1', localAddress: from });
      socket.on('connect', () => socket.write(`GET /join HTTP/1.1\r\nHost: ${NAME}\r\n${headers}Connection: close\r\n\r\n`));
      try {
        return Buffer.concat(await socket.toArray()).toString();
      } catch (error) {
        // closed while it was written to
        assert.ok(['ECONNRESET', 'EPIPE'].includes(error.code), error.code);
        return '';
      }
    };
    const asProxy = 'X-Forwarded-For: 192.168.1.7\r\nX-Forwarded-Proto: https\r\n';
    assert.equal(await past('127.0.0.2', asProxy), '');
    assert.match(await past('127.0.0.1', asProxy), /^HTTP\/1\.1 200 /, 'the same from the proxy is answered');
    assert.match(await past('127.0.0.1', ''), /^HTTP\/1\.1 421 /, 'not as a proxy sends it on');
    assert.match(await past('127.0.0.1', asProxy.replace('https', 'http')), /^HTTP\/1\.1 421 /);
  }));
