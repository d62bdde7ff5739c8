// What a set and a trial are worth in yards: what stands on the pages, and what stands there when it cannot be said.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
import { measured, openFile, writtenDown } from '../lib/folder.js';
import { useStudio } from '../lib/studio.js';
import { analysed, dossierOf, marks, movedToDay } from '../lib/trial.js';

const onDevices = useDevices();
const studio = await useStudio();
const READINGS = { knuckle_height: ['31 1/8', '31'], stature: ['73'], head_speed: ['80 mph'] };
const SET = [
  { name: 'driver', length: '45', loft: '10.5', mass: '312', swingweight: 'D2' },
  { name: '6 iron', length: '37 1/4', lie: '61.5', loft: '30.5', mass: '420', swingweight: 'D0' },
  { name: '7 iron', length: '36 3/4', lie: '62', loft: '34', mass: '426', swingweight: 'D0' },
  { name: '8 iron', length: '36 1/4', lie: '62.5', loft: '39', mass: '432', swingweight: 'D0' },
  { name: 'PW', length: '35 1/2', lie: '63.5', loft: '46', mass: '444', swingweight: 'D1' },
  { name: 'putter', length: '34', mass: '540' },
];
const plain = (html) => html.replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' ');

async function withSet(name, plays = 'right-handed', readings = READINGS) {
  const golfer = await openFile(studio, name, plays);
  await measured(studio, golfer, readings);
  await writtenDown(studio, golfer, SET);
  return golfer;
}

/** A trial of four visits, struck low with the rule's length and nearer the sweet spot with a longer club. */
async function tried(golfer) {
  await studio.save(`${golfer}/trial`, { club: '7 iron', spread: 'quick' });
  const { record: trial } = (await dossierOf(studio, golfer)).trials[0];
  const truth = marks(11);
  const { code, visits } = await (await studio.get(`/api/v1${golfer}/trial`)).json();
  assert.equal(code, null, 'not opened yet');
  for (const { visit, letters } of visits) {
    const page = await studio.page(`${golfer}/trial/visits/${visit}`);
    assert.match(page, new RegExp(`data-turns="${letters}"`));
    const places = [...letters].map((letter) => {
      const mark = truth.next().value;
      const longer = letter.charCodeAt(0) - 'B'.charCodeAt(0);
      return `${mark.x.toFixed(1)} ${(mark.y - 5 + longer * 10).toFixed(1)}`;
    });
    await studio.save(`${golfer}/trial/strikes/many`, { visit: String(visit), places: places.join('\n') });
    await movedToDay(studio, golfer, visit, `2026-11-0${visit}`);
  }
  await studio.save(`${golfer}/trial/open`, {});
  return trial;
}

test('a set with a head speed shows carries, gaps, bends and lies, each with its interval', async () => {
  const golfer = await withSet('Yuri Yards');
  for (const { record } of (await dossierOf(studio, golfer)).clubs) {
    if (/iron|PW/.test(record.name)) {
      await studio.save(`${golfer}/clubs/${record.id}`, { [`c.${record.id}.head.construction`]: 'forged' });
    }
  }
  await onDevices([DEVICES.phone, DEVICES.screen], async (page) => {
    await page.goto(`${studio.url}${golfer}/target`);
    const part = page.locator('section.yards');
    const bands = await part.locator('svg.ladder rect.band').count();
    assert.equal(bands, 1 + 5, 'the key and every club but the putter');
    const text = await part.innerText();
    assert.match(text, /80 mph with the 7 iron/);
    assert.match(text, /do not lift the ball: putter/);
    assert.match(text, /° (stronger|weaker)/);
    assert.match(text, /A bent head can crack/);
    assert.match(text, /Nothing here promises a distance/);
    for (const summary of await part.locator('summary').all()) await summary.click();
    const rows = await part.locator('table').first().locator('tbody tr').allInnerTexts();
    assert.equal(rows.length, 5);
    for (const row of rows) assert.match(row, /\d+ yd \(\d+ to \d+\)/);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.equal(wide, 0, 'nothing runs off the page');
  });
});

test('without a head speed the page says what is missing and leads there', async () => {
  const golfer = await withSet('Nora None', 'right-handed', { knuckle_height: ['31 1/8', '31'] });
  const page = await studio.page(`${golfer}/target`);
  assert.match(plain(page), /needs one head speed/);
  assert.match(page, new RegExp(`href="${golfer}/measure"[^>]*>Write down a head speed`));
});

test('a verdict shows the face with its lines and says in yards what the command line says', async () => {
  const golfer = await withSet('Vera Verdict', 'left-handed');
  await tried(golfer);
  const html = await studio.page(`${golfer}/trial/verdict`);
  const said = plain(html);
  assert.ok((html.match(/class="contour"/g) ?? []).length >= 3);
  assert.match(said, /Judged by where the balls come down/);
  const onThePage = Number(said.match(/expected to come down ([\d.]+) yd \(/)[1]);
  const more = ['--head-speed', '80 mph', '--club', '7 iron', '--loft', '34 deg'];
  const { code, document } = analysed(await studio.page(`${golfer}/trial/strikes.csv`), ...more);
  assert.equal(code, 0);
  const inYards = document.in_yards;
  // the page knows the weight of this head, the command line takes a usual one
  assert.ok(Math.abs(inYards.gain_m / 0.9144 - onThePage) < 0.15, `${inYards.gain_m} m, ${onThePage} yd`);
  const paper = await studio.page(`${golfer}/trial/golfers-sheet`);
  assert.match(plain(paper), /What a strike costs/);
});
