// What the studio is trusted with: a log without anybody's data, streams that are counted, a file that fails.
import assert from 'node:assert/strict';
import { copyFileSync, readFileSync, readdirSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
import { PRICES, measured, onTheBench, openFile, writtenDown } from '../lib/folder.js';
import { clubOf, golferCalled } from '../lib/pages.js';
import { Studio, withStudio } from '../lib/studio.js';
import { filesIn, temporaryFolder } from '../lib/tool.js';
import { sendPhoto, sendTable } from '../lib/upload.js';

const onDevices = useDevices();
/** The studio's own limit. */
const STREAMS = 64;
/** More at once than wait for their turn, and how soon others are answered meanwhile, ms. */
const [FLOOD, AT_ONCE] = [60, 200];

/** How often the studio is heard when nothing happens, ms. */
const HEARTBEAT = 15_000;

const logOf = (studio) => readFileSync(path.join(path.dirname(studio.file), 'log', 'lengthwise.log'), 'utf8');

test('no log, and nothing on standard error, holds what was typed', async () => {
  const planted = Object.fromEntries(
    ['name', 'contact', 'remark', 'health', 'about', 'found', 'caption', 'photo', 'how', 'studio', 'search', 'club', 'bad', 'file'].map(
      (where) => [where, `Quokka${where}`],
    ),
  );
  /** A price, as it is typed and as its cents are. */
  const [price, cents] = ['1835264.19', '183526419'];
  const temporary = temporaryFolder();
  await withStudio(async (studio) => {
    const golfer = await openFile(studio, planted.name);
    await measured(studio, golfer);
    await writtenDown(studio, golfer);
    const club = await clubOf(studio, golfer, '7 iron');
    assert.equal((await sendPhoto(studio, club, { caption: planted.caption }, { name: `${planted.photo}.png` })).status, 303);
    assert.match(await studio.page(club), new RegExp(planted.caption));
    for (const [key, value] of Object.entries({ ...PRICES, 'price.extend': price })) await studio.save('/house', { [key]: value });
    assert.equal((await studio.post('/house', { 'price.plug': `${price}9` })).status, 422);
    await studio.save(`${golfer}/target/keep`, {});
    const job = await studio.save(`${golfer}/job`, {});
    await studio.save(`${job}/quote`, {});
    const [, total] = (await studio.page(job)).match(/name="shown" value="([^"]*)"/);
    await studio.save(`${job}/accept`, { shown: total, how: planted.how });
    assert.match(await studio.page(`${job}/quote`), new RegExp(price));
    await studio.save(`${golfer}/file`, { name: planted.name, plays: 'right-handed', contact: planted.contact });
    await studio.save(`${golfer}/remarks`, { text: planted.remark });
    await studio.save(`${golfer}/remarks`, { text: planted.health, health: 'yes' });
    await studio.save(`${golfer}/visits`, { about: planted.about });
    await studio.save('/house', { name: planted.studio });
    await studio.save(`${golfer}/follow-up`, { due: 'today', what: planted.found });
    await studio.page(`/?q=${planted.search}`);
    // refusals of every kind
    assert.equal((await studio.post(`${golfer}/measure`, { 'read.knuckle_height.1': planted.bad })).status, 422);
    assert.equal((await studio.post(`${golfer}/clubs`, { 'n.1.name': planted.club })).status, 422);
    assert.equal((await studio.get(`/${planted.file}`)).status, 404);
    assert.equal((await studio.get(`/golfers/${planted.file}`)).status, 404);
    await sendTable(studio, `${golfer}/clubs/import`, `Club;${planted.bad}\n7 iron;1`, `${planted.file}.csv`);
    assert.equal((await studio.ask('/house', { method: 'POST', headers: { Origin: 'http://evil.example' }, body: `name=${planted.bad}` })).status, 403);
    assert.equal((await studio.ask('/api/v1/changes', { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify({ name: planted.bad }) })).status, 422);
    const log = logOf(studio);
    // it says what happened: routes, states, acts
    for (const said of ['"route":"/golfers/{golfer}/remarks"', '"status":303', '"message":"saved"', '"status":422', '"status":404']) {
      assert.ok(log.includes(said), said);
    }
    assert.equal(await studio.stop(), 0);
    const folder = path.join(path.dirname(studio.file), 'log');
    const amounts = [price, cents, total, `${total.slice(0, -2)}.${total.slice(-2)}`];
    for (const [file, text] of [...filesIn(folder), ...filesIn(temporary), ['what it told', studio.told]]) {
      for (const word of [...Object.values(planted), ...amounts]) assert.ok(!(file + text).includes(word), `${file}: ${word}`);
    }
    for (const line of log.trim().split('\n')) assert.match(JSON.parse(line).timestamp, /Z$/);
    if (process.platform !== 'win32') {
      for (const name of readdirSync(folder)) assert.equal(statSync(path.join(folder, name)).mode & 0o777, 0o600);
    }
  }, { env: { TMPDIR: temporary } });
});

test('more streams than the studio holds are refused in words, and given back when a page closes', async () => {
  await withStudio(async (studio) => {
    const stops = [];
    const open = () => {
      const stop = new AbortController();
      stops.push(stop);
      return studio.get('/events', { signal: stop.signal });
    };
    const streams = await Promise.all(Array.from({ length: STREAMS }, open));
    assert.ok(streams.every(({ status }) => status === 200));
    const refused = await open();
    assert.equal(refused.status, 503);
    assert.match(await refused.text(), /64 pages follow the studio already/);
    stops[0].abort();
    let status;
    for (let tries = 0; tries < 40 && status !== 200; tries += 1) {
      await new Promise((resolve) => setTimeout(resolve, 100));
      const answer = await open();
      status = answer.status;
    }
    assert.equal(status, 200);
    for (const stop of stops) stop.abort();
  });
});

test('a flood of what takes long leaves every other page answered at once', async () => {
  const studio = await new Studio({ isDemo: true }).open();
  try {
    const golfer = await golferCalled(studio, 'Marta Lindqvist');
    const heavy = `${golfer}/target`;
    await studio.page(heavy);
    const [begun, flood] = [Date.now(), []];
    const answers = Array.from({ length: FLOOD }, () => studio.get(heavy).then((answer) => answer.text().then(() => flood.push(answer))));
    // until the test itself has sent them all: what is measured is the studio
    await new Promise((resolve) => setTimeout(resolve, 300));
    const took = [];
    for (let asked = 0; asked < 20; asked += 1) {
      const from = performance.now();
      await studio.page('/help');
      took.push(performance.now() - from);
    }
    const meanwhile = flood.length;
    await Promise.all(answers);
    took.sort((one, other) => one - other);
    assert.ok(meanwhile < FLOOD, 'the flood was still under way');
    // nine of ten: a machine that runs other tests beside this one holds single pages up whatever the studio does
    assert.ok(took[17] < AT_ONCE, `of ${took.join(', ')} ms; the flood took ${Date.now() - begun} ms`);
    // each was answered, or told when to come again
    for (const answer of flood) {
      assert.ok([200, 503].includes(answer.status), `${answer.status}`);
      if (answer.status === 503) assert.equal(answer.headers.get('retry-after'), '5');
    }
    assert.ok(flood.some(({ status }) => status === 503) && flood.some(({ status }) => status === 200));
    assert.equal((await studio.get(heavy)).status, 200);
  } finally {
    await studio.stop();
  }
});

test('a clock that may be wrong is asked about on every page, and believed on a person’s word', async () => {
  const studio = await new Studio().open();
  const golfer = await openFile(studio, 'Clara Clock');
  const written = studio.file.replace(/\.db$/, '.instant');
  for (const [ms, asked] of [
    [10 * 60_000, /Set it, or say that it is right\./],
    [-3 * 24 * 3600_000, /If nobody opened it since, say that it is right\./],
  ]) {
    await studio.stop();
    writeFileSync(written, String(Date.now() + ms));
    await studio.open();
    for (const address of ['/', golfer, '/help']) {
      const page = await studio.page(address);
      assert.match(page, /Is the clock right\?/, address);
      assert.match(page, asked, address);
    }
    // what is written meanwhile is taken; the order of entries does not hang on the clock
    await studio.save(`${golfer}/remarks`, { text: 'written all the same' });
    await studio.save('/house/clock', {});
    assert.doesNotMatch(await studio.page('/'), /Is the clock right\?/);
    assert.ok(Math.abs(Date.now() - Number(readFileSync(written, 'utf8'))) < 60_000);
  }
  await studio.stop();
  await studio.open();
  assert.doesNotMatch(await studio.page('/'), /Is the clock right\?/);
  await studio.stop();
});

test('a stream says when to ask again, and replays what was missed or has the page load anew', async () => {
  await withStudio(async (studio) => {
    const golfer = await openFile(studio, 'Stella Stream');
    for (let remark = 0; remark < 3; remark += 1) await studio.save(`${golfer}/remarks`, { text: `${remark}` });
    const told = async (last) => {
      const quiet = new AbortController();
      const headers = last === undefined ? {} : { 'Last-Event-ID': last };
      const { body } = await studio.get('/events', { headers, signal: quiet.signal });
      let text = '';
      const timer = setTimeout(() => quiet.abort(), 600);
      try {
        for await (const chunk of body.pipeThrough(new TextDecoderStream())) text += chunk;
      } catch (error) {
        if (!quiet.signal.aborted) throw error;
      }
      clearTimeout(timer);
      return text;
    };
    assert.match(await told(), /retry: ?2000/);
    assert.deepEqual([...(await told('2')).matchAll(/^id: ?(\d+)$/gm)].map(([, id]) => id), ['3', '4']);
    for (const unknown of ['5000', '-2000']) assert.match(await told(unknown), /event: ?reload/);
    assert.doesNotMatch(await told('no number'), /event: ?(change|reload)/);
  });
});

test('a page that hears nothing of the studio for 40 seconds says so, until it is heard again', async () => {
  await withStudio(async (studio) => {
    const golfer = await openFile(studio, 'Silas Silent');
    await onDevices([DEVICES.screen], async (page) => {
      await page.clock.install();
      await page.goto(studio.url + golfer);
      const line = page.locator('#live');
      await page.waitForLoadState('load');
      studio.holdStill();
      // the page's own clock, while the studio stands still
      await page.clock.fastForward(30_000);
      assert.doesNotMatch(await line.textContent(), /Not live/);
      await page.clock.fastForward(10_000);
      await line.filter({ hasText: 'Not live: changes of other devices do not show' }).waitFor();
      studio.goOn();
      // nothing happens in it: what is heard next is its heart
      await line.filter({ hasNotText: 'Not live' }).waitFor({ state: 'attached', timeout: 2 * HEARTBEAT });
    });
  });
});

test('the seventh tab loads and saves', async () => {
  await withStudio(async (studio) => {
    const golfer = await openFile(studio, 'Seven Tabs');
    await onDevices([DEVICES.screen], async (first) => {
      const context = first.context();
      for (let tab = 0; tab < 7; tab += 1) {
        const page = await context.newPage();
        page.setDefaultTimeout(8000);
        await page.goto(studio.url + golfer);
        if (tab < 6) {
          // as the browser tells a tab that another one lies over it
          await page.evaluate(() => {
            Object.defineProperty(document, 'hidden', { value: true });
            document.dispatchEvent(new Event('visibilitychange'));
          });
          continue;
        }
        await page.goto(`${studio.url}${golfer}/measure`);
        await page.locator('#read-knuckle-height-1').fill('31');
        await page.locator('.keepbar .primary').click();
        await page.locator('.taken').waitFor();
      }
    });
  });
});

test('a file that fails under an open studio: said on every page, nothing saved, everything read', async () => {
  const studio = await new Studio().open();
  const { golfer } = await onTheBench(studio, 'Dee Damaged');
  await studio.stop();
  const whole = `${studio.file}.whole`;
  copyFileSync(studio.file, whole);
  await studio.open();
  try {
    // every page but the first, which says what the file is
    const bytes = readFileSync(whole);
    bytes.fill(0xa5, 4096);
    writeFileSync(studio.file, bytes);
    const failed = await studio.get(golfer);
    assert.equal(failed.status, 503);
    assert.match(await failed.text(), /Request \d+ in the log/);
    // the disk comes back: reading goes on, writing waits for a person
    writeFileSync(studio.file, readFileSync(whole));
    for (const address of ['/', golfer, `${golfer}/measure`, '/house']) {
      assert.match(await studio.page(address), /Nothing more is saved/, address);
    }
    const refused = await studio.post(`${golfer}/remarks`, { text: 'one more' });
    assert.equal(refused.status, 503);
    assert.match(await studio.page('/export.json'), /Dee Damaged/);
  } finally {
    await studio.kill();
  }
  await studio.open();
  await studio.save(`${golfer}/remarks`, { text: 'goes on' });
  await studio.stop();
});
