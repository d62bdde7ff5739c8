// The shelf: parts put down, put aside by a job, used at the bench, short, counted, in from a table and out as one.
import assert from 'node:assert/strict';
import { randomUUID } from 'node:crypto';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
import { measured, openFile, writtenDown } from '../lib/folder.js';
import { useStudio } from '../lib/studio.js';
import { dossierOf } from '../lib/trial.js';
import { sendTable } from '../lib/upload.js';

const onDevices = useDevices();
const studio = await useStudio();
const plain = (html) => html.replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' ');
const PARTS = [
  { kind: 'plug', name: 'Rod .600', diameter: '0.600', mass: '4.6', cost: '1.20', 'at-hand': '1', 'low-at': '1' },
  { kind: 'grip', name: 'Round .600', diameter: '0.600 in', mass: '50', cost: '4,10', 'at-hand': '10' },
  { kind: 'grip', name: 'Round .580', diameter: '0.580', mass: '50', 'at-hand': '10' },
  { kind: 'grip tape', name: 'Strip', 'at-hand': '40' },
  { kind: 'glue', name: 'Slow joint', 'at-hand': '20' },
];

/** How many there are of each part, by the table that goes out: at hand and put aside. */
async function counts() {
  const text = await (await studio.get('/shelf/table.csv')).text();
  const [head, ...rows] = text.replace('\ufeff', '').trim().split('\r\n').map((row) => row.split(','));
  const at = Object.fromEntries(head.map((name, place) => [name, place]));
  return Object.fromEntries(rows.map((row) => [row[at.name], [Number(row[at['at hand']]), Number(row[at['put aside']])]]));
}

async function jobOfTwoIrons(name) {
  const golfer = await openFile(studio, name);
  await measured(studio, golfer);
  await writtenDown(studio, golfer);
  await studio.save(`${golfer}/target/keep`, {});
  return { golfer, job: await studio.save(`${golfer}/job`, {}) };
}

/** The step of a job that uses up a kind of part. */
async function stepThatUses(golfer, kind) {
  const [{ record }] = (await dossierOf(studio, golfer)).jobs;
  return record.work.sections.flatMap((section) => section.steps).find((step) => step.uses.includes(kind)).key;
}

test('a job puts parts aside, a tick uses them once, and what is short is said', async () => {
  for (const part of PARTS) assert.equal(await studio.save('/shelf', part), '/shelf');
  const { golfer, job } = await jobOfTwoIrons('Sam Shelf');
  await onDevices([DEVICES['tablet upright']], async (page) => {
    await page.goto(studio.url + job);
    // what fits by its sizes stands there already: the plug and the grip of the butt's size
    const parts = page.locator('#parts');
    const chosen = await parts.locator('select').evaluateAll((fields) => fields.map((field) => field.selectedOptions[0].textContent));
    assert.equal(chosen.length, 4);
    for (const name of ['Rod .600', 'Round .600', 'Strip', 'Slow joint']) {
      assert.ok(chosen.some((text) => text.startsWith(name)), `${name}: ${chosen.join(' | ')}`);
    }
    await parts.getByRole('button', { name: 'Put these aside' }).click();
    // two irons take two plugs; one lies there
    await page.getByText(/Not on the shelf: 1 × Rod .600/).waitFor();
    assert.deepEqual(await counts(), {
      'Rod .600': [1, 2],
      'Round .600': [10, 2],
      'Round .580': [10, 0],
      Strip: [40, 2],
      'Slow joint': [20, 2],
    });
    await page.goto(`${studio.url}/shelf`);
    assert.match(await page.locator('section.note').innerText(), /Rod \.600: 1 more put aside than there are/);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.equal(wide, 0);
  });
  for (const to of ['agreed', 'on the bench']) await studio.save(`${job}/move`, { to });
  const plugs = await stepThatUses(golfer, 'plug');
  // two tablets at one bench, at the same moment
  const ticks = await Promise.all(
    ['one', 'other'].map(() => studio.post(`${job}/tick`, { act: randomUUID(), step: plugs, done: 'yes' })),
  );
  assert.deepEqual(ticks.map((answer) => answer.status), [303, 303]);
  assert.deepEqual((await counts())['Rod .600'], [0, 1]);
  assert.deepEqual((await counts())['Slow joint'], [18, 0]);
  assert.match(plain(await studio.page(golfer)), /the shelf is 1 short of Rod \.600/);
  // one more comes; the same step, ticked again, takes it
  const [, rod] = (await studio.page('/shelf')).match(/href="(\/shelf\/[^"]+)">Rod/);
  await studio.save(`${rod}/came`, { came: '1' });
  await studio.save(`${job}/tick`, { step: plugs, done: 'yes' });
  assert.deepEqual((await counts())['Rod .600'], [0, 0]);
  // not done after all: both come back, and are put aside again
  await studio.save(`${job}/tick`, { step: plugs, done: 'no' });
  assert.deepEqual((await counts())['Rod .600'], [2, 2]);
  assert.deepEqual((await counts())['Slow joint'], [20, 2]);
  await studio.save(`${job}/move`, { to: 'cancelled' });
  assert.deepEqual((await counts())['Rod .600'], [2, 0]);
  assert.match(plain(await studio.page(rod)), /\+2, not used/);
});

test('parts are counted, weighed, changed and taken off; an undo takes it back', async () => {
  await studio.save('/shelf', { kind: 'tip weight', name: 'Brass 4', mass: '4', 'at-hand': '5', 'low-at': '2' });
  const [, brass] = (await studio.page('/shelf')).match(/href="(\/shelf\/[^"]+)">Brass 4/);
  await studio.save(`${brass}/counted`, { counted: '7' });
  assert.deepEqual((await counts())['Brass 4'], [7, 0]);
  await studio.save(`${brass}/weighed`, { weighed: '3.9 4.1 4.05' });
  assert.deepEqual((await counts())['Brass 4'], [7, 0]);
  assert.match(plain(await studio.page(brass)), /Weighed: 1 of 3\.90 g, 1 of 4\.05 g, 1 of 4\.10 g/);
  await studio.save(`${brass}/counted`, { counted: '0' });
  assert.deepEqual((await counts())['Brass 4'], [3, 0], 'what was weighed is counted by itself');
  await onDevices([DEVICES.phone], async (page) => {
    await page.goto(studio.url + brass);
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByText('7 at hand').waitFor();
  });
  for (const [what, typed] of [
    ['came', '-1'],
    ['came', '1e9'],
    ['counted', 'some'],
    ['counted', ''],
    ['weighed', '2000'],
    ['weighed', 'NaN'],
  ]) {
    const refused = await studio.post(`${brass}/${what}`, { [what]: typed });
    assert.equal(refused.status, 422, `${what} ${typed}`);
    assert.match(plain(await refused.text()), /There is a problem/);
  }
  assert.equal((await studio.post(`${brass}/melted`, {})).status, 404);
  assert.equal((await studio.post('/shelf', { kind: 'tip weight', name: 'Brass 4' })).status, 422, 'twice on the shelf');
  assert.deepEqual((await counts())['Brass 4'], [7, 0]);
  await studio.save(`${brass}/take-off`, {});
  assert.equal((await counts())['Brass 4'], undefined);
  // taken off, undone: it is back with its count
  await onDevices([DEVICES.phone], async (page) => {
    await page.goto(`${studio.url}/shelf`);
    await page.getByRole('button', { name: 'Undo' }).click();
    await page.getByRole('link', { name: 'Brass 4' }).waitFor();
  });
  assert.deepEqual((await counts())['Brass 4'], [7, 0]);
});

test('a table comes in whole or not at all, and goes out as a table and a workbook', async () => {
  const send = (text) => sendTable(studio, '/shelf/import', text);
  const bad = await send('kind,name,at hand\nferrule,Black,12\nhammer,Big,1\n');
  assert.equal(bad.status, 422);
  assert.match(plain(await bad.text()), /line 3, column 1/);
  assert.equal((await counts()).Black, undefined);
  assert.equal((await send('Kind;Name;Price;At hand\nferrule;Black;0,40;12\nferrule;White;0,45;3\n')).status, 303);
  assert.deepEqual([(await counts()).Black, (await counts()).White], [[12, 0], [3, 0]]);
  // the same table with other counts: the same parts, counted
  assert.equal((await send('kind,name,cost,at hand\nferrule,Black,0.40,9\nferrule,White,0.45,3\n')).status, 303);
  assert.deepEqual([(await counts()).Black, (await counts()).White], [[9, 0], [3, 0]]);
  for (const hostile of ['', 'kind,name\n', '\u0000', 'PK\u0003\u0004']) {
    assert.ok([400, 422].includes((await send(hostile)).status), JSON.stringify(hostile));
  }
  const book = await studio.get('/shelf/table.xlsx');
  assert.equal(book.headers.get('content-type'), 'application/vnd.openxmlformats-officedocument.spreadsheetml.sheet');
  const bytes = new Uint8Array(await book.arrayBuffer());
  assert.deepEqual([...bytes.slice(0, 2)], [0x50, 0x4b]);
  // a studio file takes the shelf along
  const file = await (await studio.get('/export.json')).json();
  assert.equal(file.parts.filter((part) => part.name === 'Black').length, 1);
});
