// Personal data: what a golfer takes along, how they are forgotten, who was silent for long, and that nothing is sent out.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { STEPS, openJob, tick } from '../lib/bench.js';
import { DEVICES, useDevices } from '../lib/browser.js';
import { PRICES, measured, onTheBench, openFile, writtenDown } from '../lib/folder.js';
import { NO_PAST, setBack } from '../lib/past.js';
import { Studio, useStudio, withStudio } from '../lib/studio.js';
import { binary, temporaryFolder } from '../lib/tool.js';

const onDevices = useDevices();
const studio = await useStudio();
const plain = (html) => html.replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' ');

test('everything of a golfer is one archive, from the page and from the command line alike', async () => {
  const golfer = await openFile(studio, 'Ada Archive');
  await measured(studio, golfer);
  await studio.save(`${golfer}/remarks`, { text: 'lower back since spring', health: 'yes' });
  assert.match(await studio.page(golfer), /Everything in one archive/);
  const answer = await studio.get(`${golfer}/archive.zip`);
  assert.equal(answer.headers.get('content-type'), 'application/zip');
  const bytes = Buffer.from(await answer.arrayBuffer());
  assert.equal(bytes.subarray(0, 2).toString(), 'PK');
  for (const name of ['read-me.html', 'golfer.json', 'tables/readings.csv', 'tables/remarks.csv']) {
    assert.ok(bytes.includes(name), name);
  }
  const file = path.join(temporaryFolder(), 'ada.zip');
  const id = golfer.split('/').pop();
  const ran = spawnSync(binary(), ['export', '--data', studio.file, '--golfer', id, '--archive', file], { encoding: 'utf8' });
  assert.equal(ran.status, 0, ran.stderr);
  assert.ok(readFileSync(file).includes('read-me.html'));
});

test('a golfer is forgotten when their name is typed, and only then', async () => {
  const { golfer } = await onTheBench(studio, 'Fred Forget');
  await onDevices([DEVICES['tablet upright']], async (page) => {
    await page.goto(studio.url + golfer);
    await page.getByRole('link', { name: 'Forget this golfer' }).click();
    await page.getByText('this cannot be undone').waitFor();
    await page.getByLabel('Type the name to forget them').fill('Fred');
    await page.getByRole('button', { name: 'Forget them' }).click();
    await page.getByText('Nothing was forgotten.').waitFor();
    assert.equal((await studio.get(golfer)).status, 200);
    await page.goBack();
    await page.getByLabel('Type the name to forget them').fill('Fred Forget');
    await page.getByRole('button', { name: 'Forget them' }).click();
    await page.waitForURL((url) => url.pathname === '/');
    assert.ok(!(await page.content()).includes('Fred'));
  });
  assert.equal((await studio.get(golfer)).status, 404);
  assert.ok(!readFileSync(studio.file).includes('Fred Forget'));
});

test('what was agreed to stays with its number and its amounts, without a name', async () => {
  for (const [key, value] of Object.entries(PRICES)) await studio.save('/house', { [key]: value });
  const golfer = await openFile(studio, 'Mona Money');
  await measured(studio, golfer);
  await writtenDown(studio, golfer);
  await studio.save(`${golfer}/target/keep`, {});
  const job = await studio.save(`${golfer}/job`, {});
  await studio.save(`${job}/quote`, {});
  const [, shown] = (await studio.page(job)).match(/name="shown" value="([^"]*)"/);
  await studio.save(`${job}/accept`, { shown, how: 'signed by Mona' });
  const before = plain(await studio.page(`${job}/quote`));
  const total = before.match(/Total [^\d]*(\d+\.\d\d)/)[1];
  const id = golfer.split('/').pop();
  const told = spawnSync(binary(), ['forget', '--data', studio.file, id], { encoding: 'utf8' });
  assert.match(told.stdout, /Amounts, days and number of job \d+ stay[^]*Nothing was changed/);
  assert.equal((await studio.get(golfer)).status, 200);
  const done = spawnSync(binary(), ['forget', '--data', studio.file, id, '--yes'], { encoding: 'utf8' });
  assert.equal(done.status, 0, done.stderr);
  const after = plain(await studio.page(`${job}/quote`));
  assert.ok(after.includes(total) && !after.includes('Mona'), after.slice(0, 400));
  assert.ok(!(await studio.page('/?q=mona')).includes('Mona Money'));
});

test('nobody who was seen lately is listed as silent', async () => {
  assert.match(await studio.page('/house/keeping'), /There is nobody/);
});

test('who was silent for three years is listed with the day, until something is done with them', { skip: NO_PAST }, () =>
  withStudio(async (studio) => {
    const now = new Date();
    const ago = (years, days) => new Date(now.getFullYear() - years, now.getMonth(), now.getDate() - days, 12);
    const longSilent = await openFile(studio, 'Silke Silent');
    await studio.save(`${longSilent}/remarks`, { text: 'seen for the last time' });
    const notYet = await openFile(studio, 'Nora Notyet');
    const cameBack = await openFile(studio, 'Bea Back');
    await openFile(studio, 'Lena Lately');
    await studio.stop();
    for (const [golfer, at] of [[longSilent, ago(3, 10)], [notYet, ago(3, -10)], [cameBack, ago(4, 0)]]) setBack(studio, golfer, at);
    await studio.open();
    const listed = async () => plain(await studio.page('/house/keeping'));
    const before = await listed();
    const last = ago(3, 10);
    const day = `${last.getDate()} ${last.toLocaleDateString('en-US', { month: 'short' })} ${last.getFullYear()}`;
    assert.ok(before.includes(`Silke Silent , last ${day}`), before);
    assert.ok(before.includes('Bea Back'));
    for (const name of ['Nora Notyet', 'Lena Lately']) assert.ok(!before.includes(name), name);
    await studio.save(`${cameBack}/remarks`, { text: 'came by again' });
    const after = await listed();
    assert.ok(after.includes('Silke Silent') && !after.includes('Bea Back'), after);
    assert.equal((await studio.get(longSilent)).status, 200, 'nobody is removed');
  }));

const hasStrace = spawnSync('strace', ['-V']).status === 0;

test('the studio asks nobody anything: it opens no connection of its own', { skip: !hasStrace && 'strace is not installed' }, async () => {
  const trace = path.join(temporaryFolder(), 'trace');
  // the recorder stands beside: a signal meets the studio itself
  const watched = await new Studio({ under: ['strace', '-D', '-f', '-qq', '-e', 'trace=connect,sendto,sendmsg', '-o', trace] }).open();
  try {
    const { golfer } = await onTheBench(watched, 'Nell Network');
    for (const address of ['/', '/house', '/shelf', '/help', `${golfer}/target`, `${golfer}/clubs`, '/export.json']) await watched.page(address);
  } finally {
    await watched.stop();
  }
  const calls = readFileSync(trace, 'utf8').split('\n');
  const asked = calls.filter((call) => / connect\(|sendto\(|sendmsg\(/.test(call));
  const outward = asked.filter((call) => /AF_INET6?/.test(call));
  assert.deepEqual(outward, []);
  // the recorder sees: an answer over a connection that came in is a send without an address
  assert.ok(calls.some((call) => /sendto\(|sendmsg\(|exited|SIG/.test(call)), 'nothing was recorded at all');
});

test('at sixteen the golfer is asked themselves, once', async () => {
  const now = new Date();
  const day = (yearsAgo, daysAgo) => {
    const on = new Date(now.getFullYear() - yearsAgo, now.getMonth(), now.getDate() - daysAgo, 12);
    return `${on.getDate()} ${on.getMonth() + 1} ${on.getFullYear()}`;
  };
  const golfer = await openFile(studio, 'Sixten Sixteen');
  const file = (born, agreed, by) =>
    studio.save(`${golfer}/file`, { name: 'Sixten Sixteen', plays: 'right-handed', born, 'consent-by': by, 'consent-day': agreed, 'consent-how': 'in person' });
  await file(day(15, 3), day(2, 0), 'Saga, his mother');
  assert.doesNotMatch(await studio.page(golfer), /ask the golfer|has to agree/);
  await file(day(16, 3), day(2, 0), 'Saga, his mother');
  assert.match(plain(await studio.page(golfer)), /16 now: ask the golfer\. Saga, his mother agreed for them on .*Write down that the golfer agrees/);
  await file(day(16, 3), 'today', 'Sixten');
  assert.doesNotMatch(await studio.page(golfer), /ask the golfer|has to agree/);
});

test('a browser keeps nothing of a golfer but the ids and numbers of what waits', async () => {
  const { golfer, job } = await onTheBench(studio, 'Bruno Browser');
  await studio.save(`${golfer}/remarks`, { text: 'lower back since spring', health: 'yes' });
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(studio.url);
    await page.getByLabel('Find a golfer').fill('Bruno');
    await page.locator('.hits b', { hasText: 'Bruno Browser' }).first().waitFor();
    for (const address of [golfer, `${golfer}/remarks`, `${golfer}/clubs`, `${golfer}/target`]) {
      await page.goto(studio.url + address);
    }
    await openJob(page, studio.url + job);
    await page.context().setOffline(true);
    await tick(page, STEPS[0]);
    await page.getByText('1 waiting').waitFor();
    const { waiting, ...kept } = await page.evaluate(async () => {
      const { 'lengthwise-waiting': waiting, ...local } = localStorage;
      const databases = await indexedDB.databases();
      return { waiting, local, session: { ...sessionStorage }, databases, caches: await caches.keys(), cookie: document.cookie };
    });
    assert.deepEqual(kept, { local: {}, session: {}, databases: [], caches: [], cookie: '' });
    assert.equal(JSON.parse(waiting).length, 1);
    assert.doesNotMatch(waiting, /Bruno|Browser|lower back/);
    await page.context().setOffline(false);
    await page.waitForFunction(() => JSON.parse(localStorage.getItem('lengthwise-waiting') || '[]').length === 0);
  });
});
