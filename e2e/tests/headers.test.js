// What stands before and around every page: headers, hosts, origins, limits, and addresses that are made up.
import assert from 'node:assert/strict';
import { createHash, randomUUID } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import net from 'node:net';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
import { onTheBench, openFile } from '../lib/folder.js';
import { useStudio } from '../lib/studio.js';

const onDevices = useDevices();
const studio = await useStudio();
const { port } = new URL(studio.url);
const { golfer, job } = await onTheBench(studio, 'Hera Header');
await studio.save(`${golfer}/follow-up`, { due: '2027-01-08', what: '' });
const clubs = await studio.page(`${golfer}/clubs`);
const [, club] = clubs.match(/href="([^"]+)" aria-label="More of/);
const [, reading] = (await studio.page(`${golfer}/measure`)).match(/formaction="([^"]+)"/);
const assets = [...clubs.matchAll(/(?:href|src)="(\/assets\/[^"]+)"/g)].map(([, address]) => address);
/** The largest form. */
const LARGEST = 256 * 1024;
const FORM = 'application/x-www-form-urlencoded';
const NOBODY = '/golfers/01938a6e-1b2c-7def-8123-456789abcdef';

const PAGES = [
  '/',
  '/?q=hera',
  '/search?q=hera',
  '/house',
  golfer,
  ...[
    'file',
    'measure',
    'clubs',
    'clubs/import',
    'target',
    'target?knuckle=4&clubs=-4',
    'trial',
    'job',
    'follow-up',
  ].map((station) => `${golfer}/${station}`),
  club,
  job,
  `${job}/sheet`,
  `${job}/golfers-sheet`,
];
const FILES = [
  `${golfer}/card`,
  `${golfer}/follow-up.ics`,
  `${golfer}/export.json`,
  '/export.json',
  '/api/v1/openapi.json',
  '/api/v1/golfers',
  `/api/v1${golfer}`,
  `/api/v1${golfer}/plan`,
  '/api/v1/house',
  '/api/v1/due',
];

/** Every address that takes a form, with what would be taken there. */
const FORMS = {
  '/golfers': { name: 'Ivo Intruder', plays: 'right-handed' },
  '/example': {},
  '/house': { name: 'Intruded' },
  '/undo': { of: randomUUID(), back: '/' },
  [`${golfer}/file`]: { name: 'Intruded', plays: 'left-handed' },
  [`${golfer}/remarks`]: { text: 'Intruded.' },
  [`${golfer}/measure`]: { 'read.knuckle_height.1': '30' },
  [`${golfer}/measure/now`]: { 'read.knuckle_height.1': '30' },
  [reading]: {},
  [`${golfer}/clubs`]: { 'n.1.name': '9 iron' },
  [club]: { 'put-away': 'yes' },
  [`${golfer}/target`]: { hold: 'inertia' },
  [`${golfer}/target/keep`]: {},
  [`${golfer}/job`]: {},
  [`${job}/move`]: { to: 'cancelled' },
  [`${job}/tick`]: { step: '0.0', done: 'yes' },
  [`${golfer}/follow-up`]: { due: '2027-02-01', what: 'Intruded' },
};
const FORM_ADDRESSES = Object.keys(FORMS);

function body(fields) {
  return new URLSearchParams({ act: randomUUID(), ...fields }).toString();
}

/** Asserts that nothing was written meanwhile. */
async function writesNothing(use) {
  const before = await studio.acts();
  await use();
  assert.deepEqual(await studio.acts(), before);
}

// ---- Headers ---------------------------------------------------------------------------------------------

const WANTED = {
  'x-content-type-options': 'nosniff',
  'referrer-policy': 'same-origin',
  'cross-origin-opener-policy': 'same-origin',
  'cross-origin-resource-policy': 'same-origin',
};

function headerFaults(address, { headers }) {
  const faults = Object.entries(WANTED)
    .filter(([name, value]) => headers[name] !== value)
    .map(([name]) => `${address}: ${name}: ${headers[name]}`);
  const policy = new Map(
    (headers['content-security-policy'] ?? '').split(';').map((rule) => {
      const [name, ...sources] = rule.trim().split(/\s+/);
      return [name, sources.join(' ')];
    }),
  );
  for (const [rule, sources] of [
    ['default-src', "'none'"],
    ['script-src', "'self'"],
    ['style-src', "'self'"],
    ['form-action', "'self'"],
    ['base-uri', "'none'"],
    ['frame-ancestors', "'none'"],
  ]) {
    if (policy.get(rule) !== sources) faults.push(`${address}: ${rule} ${policy.get(rule)}`);
  }
  if (/unsafe|\*|https?:|data:/.test(headers['content-security-policy']))
    faults.push(`${address}: a policy with a hole`);
  if (!/microphone=\(\)/.test(headers['permissions-policy'])) faults.push(`${address}: the microphone`);
  if (headers['set-cookie'] || headers.server || headers['x-powered-by'])
    faults.push(`${address}: says too much`);
  const isAsset = address.startsWith('/assets/') && headers['content-type'];
  const kept = isAsset ? /^public, max-age=31536000, immutable$/ : /^no-store$/;
  if (!kept.test(headers['cache-control']))
    faults.push(`${address}: cache-control ${headers['cache-control']}`);
  // a part of a page and the whole page may have one address
  if (!isAsset && !/\bHX-Request\b/i.test(headers.vary)) faults.push(`${address}: vary ${headers.vary}`);
  return faults;
}

test('every page, file and asset has the headers, and only assets may be kept', async () => {
  const faults = [];
  for (const address of [...PAGES, ...FILES, ...assets]) {
    const answer = await studio.ask(address);
    assert.equal(answer.status, 200, address);
    faults.push(...headerFaults(address, answer));
  }
  assert.deepEqual(faults, []);
});

test('pages are HTML in UTF-8, and files are what they are', async () => {
  for (const address of PAGES) {
    assert.equal((await studio.ask(address)).headers['content-type'], 'text/html; charset=utf-8', address);
  }
  const kinds = {
    card: 'application/toml',
    'follow-up.ics': 'text/calendar',
    'export.json': 'application/json',
  };
  for (const [file, kind] of Object.entries(kinds)) {
    assert.ok((await studio.ask(`${golfer}/${file}`)).headers['content-type'].startsWith(kind), file);
  }
});

test('every refusal has the headers too', async () => {
  const answers = {
    'no such page': await studio.ask('/no-such'),
    'no such golfer': await studio.ask(NOBODY),
    'no such asset': await studio.ask('/assets/no-such.js'),
    'no such address of the interface': await studio.ask('/api/v1/no-such'),
    'a redirect': await studio.ask('/j/1'),
    'a wrong host': await studio.ask('/', { headers: { Host: 'evil.example' } }),
    'another site': await studio.ask('/house', {
      method: 'POST',
      headers: { Origin: 'http://evil.example' },
      body: body({}),
    }),
    'another type': await studio.ask('/house', {
      method: 'POST',
      headers: { 'Content-Type': 'text/plain' },
      body: 'x',
    }),
    'too much': await studio.ask('/house', { method: 'POST', body: 'x'.repeat(LARGEST + 1) }),
    'a refused form': await studio.ask('/house', { method: 'POST', body: body({ cure_hours: 'soon' }) }),
    'a taken form': await studio.ask(`${golfer}/remarks`, { method: 'POST', body: body({ text: 'Taken.' }) }),
    'another method': await studio.ask('/', { method: 'DELETE' }),
  };
  const statuses = Object.entries(answers).map(([what, answer]) => [what, answer.status]);
  assert.deepEqual(Object.fromEntries(statuses), {
    'no such page': 404,
    'no such golfer': 404,
    'no such asset': 404,
    'no such address of the interface': 404,
    'a redirect': 303,
    'a wrong host': 421,
    'another site': 403,
    'another type': 415,
    'too much': 413,
    'a refused form': 422,
    'a taken form': 303,
    'another method': 405,
  });
  const faults = Object.entries(answers).flatMap(([what, answer]) => headerFaults(what, answer));
  assert.deepEqual(faults, []);
});

test('the stream of changes has the headers and stays open', async () => {
  const stop = new AbortController();
  const answer = await studio.get('/events', { signal: stop.signal });
  assert.equal(answer.headers.get('content-type'), 'text/event-stream');
  // neither packed nor gathered on its way
  assert.equal(answer.headers.get('content-encoding'), null);
  assert.equal(answer.headers.get('x-accel-buffering'), 'no');
  assert.deepEqual(headerFaults('/events', { headers: Object.fromEntries(answer.headers) }), []);
  stop.abort();
});

// ---- Hosts and origins -----------------------------------------------------------------------------------

test('only this machine’s own names are answered to', async () => {
  for (const host of [`127.0.0.1:${port}`, `localhost:${port}`]) {
    assert.equal((await studio.ask('/', { headers: { Host: host } })).status, 200, host);
  }
  for (const host of [
    'evil.example',
    `evil.example:${port}`,
    `127.0.0.1.evil.example:${port}`,
    `localhost.evil.example:${port}`,
    'localhost',
    '127.0.0.1',
    'localhost:1',
    `0.0.0.0:${port}`,
    `localhost:${port}:${port}`,
    `user@127.0.0.1:${port}`,
  ]) {
    const answer = await studio.ask('/', { headers: { Host: host } });
    assert.ok(
      answer.status === 421 || (host.includes('@') && answer.status === 400),
      `${host}: ${answer.status}`,
    );
    assert.ok(!answer.text.includes('Hera'), host);
  }
  // and who names none gets none
  const socket = net.connect(Number(port), '127.0.0.1');
  socket.write('GET / HTTP/1.0\r\n\r\n');
  const chunks = await socket.toArray();
  assert.match(Buffer.concat(chunks).toString(), /^HTTP\/1\.[01] 4(21|00) /);
});

test('under a wrong name nothing is written, read, streamed or kept', async () => {
  await writesNothing(async () => {
    const headers = { Host: `evil.example:${port}` };
    for (const address of [...PAGES, ...FILES, ...assets, '/events']) {
      assert.equal((await studio.ask(address, { headers })).status, 421, address);
    }
    for (const [address, fields] of Object.entries(FORMS)) {
      assert.equal(
        (await studio.ask(address, { method: 'POST', headers, body: body(fields) })).status,
        421,
        address,
      );
    }
  });
});

test('a form of another site is refused wherever it is sent', async () => {
  const foreign = [
    { 'Sec-Fetch-Site': 'cross-site' },
    { 'Sec-Fetch-Site': 'same-site' },
    { 'Sec-Fetch-Site': 'cross-site', Origin: studio.url },
    { Origin: 'http://evil.example' },
    { Origin: 'null' },
    { Origin: `https://127.0.0.1:${port}` },
    { Origin: `http://localhost:${port}` },
    { Origin: 'http://127.0.0.1:1' },
    { Origin: `http://127.0.0.1:${port}.evil.example` },
  ];
  await writesNothing(async () => {
    for (const [address, fields] of Object.entries(FORMS)) {
      for (const headers of foreign) {
        const answer = await studio.ask(address, { method: 'POST', headers, body: body(fields) });
        assert.equal(answer.status, 403, `${address} with ${JSON.stringify(headers)}`);
      }
    }
    const json = { 'Content-Type': 'application/json', Origin: 'http://evil.example' };
    for (const address of ['/api/v1/changes', '/api/v1/undo']) {
      assert.equal(
        (await studio.ask(address, { method: 'POST', headers: json, body: '{}' })).status,
        403,
        address,
      );
    }
  });
  const own = { Origin: studio.url, 'Sec-Fetch-Site': 'same-origin' };
  const taken = await studio.ask(`${golfer}/remarks`, {
    method: 'POST',
    headers: own,
    body: body({ text: 'Own.' }),
  });
  assert.equal(taken.status, 303);
});

test('a page of another site cannot post, read or frame the studio', async () => {
  await writesNothing(async () => {
    await onDevices([DEVICES.screen], async (page) => {
      const evil = 'http://evil.example/';
      const form = `<form method="post" action="${studio.url}${golfer}/remarks"><input name="text" value="Intruded."></form>`;
      const frame = `<iframe src="${studio.url}"></iframe>`;
      await page.route(`${evil}*`, (route) =>
        route.fulfill({ contentType: 'text/html', body: form + frame }),
      );
      await page.goto(evil);
      const read = await page.evaluate(
        (url) =>
          fetch(url)
            .then((answer) => answer.text())
            .catch((error) => String(error)),
        `${studio.url}/export.json`,
      );
      assert.match(read, /TypeError/);
      assert.equal(await page.frames().at(1)?.locator('main').count(), 0);
      const [answer] = await Promise.all([
        page.waitForResponse((response) => response.url().endsWith('/remarks')),
        page.evaluate(() => document.querySelector('form').submit()),
      ]);
      assert.equal(answer.status(), 403);
    });
  });
});

// ---- Reading does not write ------------------------------------------------------------------------------

test('looking never writes, whatever stands behind the address', async () => {
  const digest = () =>
    ['', '-wal'].map(
      (end) =>
        existsSync(studio.file + end) &&
        createHash('sha256')
          .update(readFileSync(studio.file + end))
          .digest('hex'),
    );
  await writesNothing(async () => {
    const before = digest();
    for (const method of ['GET', 'HEAD', 'OPTIONS']) {
      for (const address of [...PAGES, ...FILES, '/j/1']) {
        const answer = await studio.ask(address, { method });
        assert.ok(answer.status < 400 || method === 'OPTIONS', `${method} ${address}: ${answer.status}`);
      }
      for (const [address, fields] of Object.entries(FORMS))
        await studio.ask(`${address}?${body(fields)}`, { method });
    }
    assert.deepEqual(digest(), before);
  });
});

test('other methods are not taken', async () => {
  await writesNothing(async () => {
    for (const method of ['PUT', 'PATCH', 'DELETE', 'TRACE']) {
      for (const address of ['/', golfer, ...FORM_ADDRESSES]) {
        assert.equal(
          (await studio.ask(address, { method, body: body({}) })).status,
          405,
          `${method} ${address}`,
        );
      }
    }
  });
});

// ---- Forms -----------------------------------------------------------------------------------------------

test('what is no form is refused', async () => {
  await writesNothing(async () => {
    for (const [address, fields] of Object.entries(FORMS).filter(([of]) => of !== '/example')) {
      for (const type of [
        'text/plain',
        'application/json',
        'multipart/form-data; boundary=x',
        `${FORM}x`,
        '',
      ]) {
        const headers = { 'Content-Type': type };
        const answer = await studio.ask(address, { method: 'POST', headers, body: body(fields) });
        assert.equal(answer.status, 415, `${address} as ${type}`);
      }
    }
  });
});

test('a form over 256 kB is refused, one of 256 kB is read', async () => {
  const long = (size) => `text=${'x'.repeat(size - 'text='.length)}`;
  await writesNothing(async () => {
    for (const address of FORM_ADDRESSES.filter((of) => of !== '/example')) {
      assert.equal(
        (await studio.ask(address, { method: 'POST', body: long(LARGEST + 1) })).status,
        413,
        address,
      );
    }
    const read = await studio.ask(`${golfer}/remarks`, { method: 'POST', body: long(LARGEST) });
    assert.equal(read.status, 422);
    assert.match(read.text, /up to 4000 characters/);
  });
});

test('a field that is sent twice, or two thousand of them, is refused', async () => {
  await writesNothing(async () => {
    for (const [address, fields] of Object.entries(FORMS).filter(([of]) => of !== '/example')) {
      const answer = await studio.ask(address, {
        method: 'POST',
        body: `${body(fields)}&act=${randomUUID()}`,
      });
      assert.equal(answer.status, 422, address);
      assert.match(answer.text, /The field act was sent twice/);
    }
    const many = Array.from({ length: 2001 }, (_, place) => `f${place}=1`).join('&');
    assert.equal((await studio.ask(`${golfer}/clubs`, { method: 'POST', body: many })).status, 422);
  });
});

test('a field sent twice beside a file is refused', async () => {
  await writesNothing(async () => {
    for (const twice of ['sheet', 'file']) {
      const form = new FormData();
      form.set('file', new Blob(['Club;Length\n8 iron;36']), 'clubs.csv');
      for (const value of ['one', 'two']) form.append(twice, twice === 'file' ? new Blob([value]) : value);
      const answer = await studio.get(`${golfer}/clubs/import`, { method: 'POST', body: form });
      assert.equal(answer.status, 422, twice);
      assert.match(await answer.text(), twice === 'file' ? /Two files were sent/ : /The field sheet was sent twice/);
    }
  });
});

test('a request of two lengths is one request or none', async () => {
  await writesNothing(async () => {
    const hidden = `GET /house HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\n\r\n`;
    const head = `POST /house HTTP/1.1\r\nHost: 127.0.0.1:${port}\r\nContent-Type: text/plain\r\n`;
    for (const [what, lengths, sent] of [
      ['length and chunks', `Content-Length: 5\r\nTransfer-Encoding: chunked\r\n`, `0\r\n\r\n`],
      ['chunks and length', `Transfer-Encoding: chunked\r\nContent-Length: ${5 + hidden.length}\r\n`, `0\r\n\r\n`],
      ['two lengths', `Content-Length: 0\r\nContent-Length: ${hidden.length}\r\n`, ''],
      ['a length with a sign', `Content-Length: +0\r\n`, ''],
      ['chunks under another name', `Transfer-Encoding: xchunked\r\nContent-Length: 0\r\n`, ''],
    ]) {
      const socket = net.connect(Number(port), '127.0.0.1');
      socket.write(`${head}${lengths}\r\n${sent}${hidden}`);
      socket.setTimeout(1000, () => socket.end());
      const answers = Buffer.concat(await socket.toArray()).toString();
      const statuses = [...answers.matchAll(/^HTTP\/1\.1 (\d+)/gm)].map(([, status]) => Number(status));
      // by the chunks the second request stands for itself, as sent; otherwise there is none, and the connection ends
      const wanted = what.includes('length and chunks') || what.includes('chunks and length') ? [[400], [415], [415, 200]] : [[400]];
      assert.ok(wanted.some((these) => String(these) === String(statuses)), `${what}: ${statuses}`);
    }
  });
});

test('an id of an act that is none is refused', async () => {
  await writesNothing(async () => {
    for (const act of [
      '',
      '1',
      'x'.repeat(36),
      '01938A6E-1B2C-7DEF-8123-456789ABCDEF',
      "'; DROP TABLE change_set;--",
    ]) {
      const answer = await studio.ask(`${golfer}/remarks`, {
        method: 'POST',
        body: body({ text: 'Forged.', act }),
      });
      assert.equal(answer.status, 422, act);
    }
  });
});

// ---- Addresses that are made up ---------------------------------------------------------------------------

test('ids that nobody has, or that are none, lead to no page', async () => {
  const forged = [
    '01938a6e-1b2c-7def-8123-456789abcdef',
    golfer.slice('/golfers/'.length).toUpperCase(),
    '1',
    '%00',
    "1'%20OR%20'1'='1",
    '..%2F..%2Fetc%2Fpasswd',
    'x'.repeat(3000),
    '%F0%9F%8F%8C',
  ];
  const found = [];
  const expectNothing = async (address, init) => {
    const { status, text } = await studio.ask(address, init);
    if (status !== 404)
      found.push(`${init?.method ?? 'GET'} ${address.slice(0, 100)}: ${status} ${text.slice(0, 80)}`);
  };
  const post = (address, fields) => expectNothing(address, { method: 'POST', body: body(fields) });
  await writesNothing(async () => {
    for (const id of forged) {
      for (const address of [
        `/golfers/${id}`,
        `/golfers/${id}/measure`,
        `/golfers/${id}/clubs`,
        `/golfers/${id}/card`,
        `/golfers/${id}/follow-up.ics`,
        `/golfers/${id}/export.json`,
        `${golfer}/clubs/${id}`,
        `${golfer}/jobs/${id}`,
        `${golfer}/jobs/${id}/sheet`,
        `/photos/${id}`,
        `/tables/${id}`,
        `/assets/${id}`,
        `/api/v1/golfers/${id}`,
      ]) {
        await expectNothing(address);
      }
      await post(`/golfers/${id}/remarks`, { text: 'Forged.' });
      await post(`${golfer}/jobs/${id}/tick`, { step: '0.0' });
      await post(`${golfer}/jobs/${id}/move`, { to: 'cancelled' });
      await post(`${golfer}/clubs/${id}`, { 'put-away': 'yes' });
      await post(`${golfer}/readings/${id}/take-back`, {});
    }
    for (const number of ['0', '-1', '999999', '99999999999999999999', '1.5', 'abc', '1%20', forged[0]]) {
      await expectNothing(`/j/${number}`);
    }
    for (const fields of [{ step: '9.9' }, { step: '' }, {}, { step: "0.0'" }])
      await post(`${job}/tick`, fields);
  });
  assert.deepEqual(found, []);
});

test('what belongs to one golfer is not reached under another', async () => {
  const other = await openFile(studio, 'Otto Other');
  const [clubId, jobId] = [club.split('/').at(-1), job.split('/').at(-1)];
  await writesNothing(async () => {
    for (const address of [
      `${other}/clubs/${clubId}`,
      `${other}/jobs/${jobId}`,
      `${other}/jobs/${jobId}/sheet`,
    ]) {
      assert.equal((await studio.ask(address)).status, 404, address);
    }
    const followUp = (await studio.page(`${golfer}/follow-up`)).match(/name="of" value="([^"]+)"/)[1];
    for (const [address, fields] of [
      [`${other}/clubs/${clubId}`, { 'put-away': 'yes' }],
      [`${other}/jobs/${jobId}/tick`, { step: '0.0', done: 'yes' }],
      [`${other}/jobs/${jobId}/move`, { to: 'cancelled' }],
      [`${other}/target`, { club: clubId, way: '' }],
      [`${other}/follow-up`, { of: followUp, found: 'Forged.' }],
      [reading.replace(golfer, other), {}],
    ]) {
      assert.equal((await studio.ask(address, { method: 'POST', body: body(fields) })).status, 404, address);
    }
  });
});

test('whatever address is opened, a page of the studio answers and leads back', async () => {
  const odd = [
    // a reload after a refused form asks for its address
    ...FORM_ADDRESSES,
    '/?q=a&q=b',
    `${golfer}/target?knuckle=much`,
    `${golfer}/target?knuckle=99999999`,
    '/j/abc',
    '/golfers/',
    '//evil.example/',
    `${golfer}/clubs/`,
    '/%',
    '/%ff',
  ];
  const bare = [];
  for (const address of odd) {
    const { status, headers, text } = await studio.ask(address);
    const isPage =
      (headers['content-type'] ?? '').startsWith('text/html') && /<main/.test(text) && /href="\/"/.test(text);
    if (status !== 303 && !isPage) bare.push(`${address}: ${status} "${text.slice(0, 60)}"`);
  }
  assert.deepEqual(bare, []);
});

test('undo leads back to a page of the studio, never away', async () => {
  const led = [];
  for (const [back, wanted] of [
    [`${golfer}/clubs`, `${golfer}/clubs`],
    ['//evil.example', '/'],
    ['https://evil.example/', '/'],
    ['/\\evil.example', '/'],
    ['\\\\evil.example', '/'],
    ['/\t/evil.example', '/'],
    ['/a\r\nSet-Cookie: x=1', '/'],
    ['javascript:alert(1)', '/'],
    [' //evil.example', '/'],
    ['evil.example', '/'],
    ['', '/'],
  ]) {
    const act = randomUUID();
    await studio.save(`${golfer}/remarks`, { act, text: 'To be undone.' });
    const { status, headers } = await studio.ask('/undo', { method: 'POST', body: body({ of: act, back }) });
    assert.equal(status, 303, back);
    assert.equal(headers['set-cookie'], undefined);
    led.push([back, headers.location, wanted]);
  }
  assert.deepEqual(
    led.filter(([, location, wanted]) => location !== wanted),
    [],
  );
});

test('an act that is none, or was undone, cannot be undone', async () => {
  const act = randomUUID();
  await studio.save(`${golfer}/remarks`, { act, text: 'To be undone once.' });
  await studio.save('/undo', { act: randomUUID(), of: act, back: '/' });
  for (const of of [act, randomUUID()]) {
    const answer = await studio.ask('/undo', { method: 'POST', body: body({ of, back: '/' }) });
    assert.equal(answer.status, 409);
    assert.match(answer.text, /cannot be undone/);
  }
});
