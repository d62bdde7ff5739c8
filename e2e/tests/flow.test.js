// A new golfer from the first reading to the day to be seen again, as a person does it, on three devices.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { test } from 'node:test';
import { DEVICES, complaintsOf, useDevices } from '../lib/browser.js';
import { Hand } from '../lib/hand.js';
import { eventsOf } from '../lib/calendar.js';
import { toeSide } from '../lib/measure.js';
import { useStudio } from '../lib/studio.js';

const onDevices = useDevices();
const studio = await useStudio();

/** Length, lie, loft and mass of three irons, as they stand in a spreadsheet. */
const BLOCK = [
  ['36 3/4', '62', '34', '426'],
  ['36 1/4', '62.5', '38', '432'],
  ['36', '63', '42', '438'],
];

async function openFile(hand, name, plays) {
  const { page } = hand;
  await page.goto(studio.url);
  await hand.type(page.getByLabel('Name', { exact: true }), name);
  await hand.press(page.getByText(plays, { exact: true }));
  await hand.button('Open a file');
  await hand.sees(page.locator('h1'), name);
  await hand.sees(page.locator('.who'), `plays ${plays}`);
}

async function measure(hand) {
  const { page } = hand;
  await hand.link('Take the knuckle height');
  const field = (place) => page.getByLabel(`Knuckle height, reading ${place}`, { exact: true });
  const target = page.locator('#now .big');
  assert.equal(await target.innerText(), '–');
  await hand.press(field(1));
  if (hand.isTouch) {
    const keys = page.getByRole('group', { name: 'Keys for inches' });
    for (const key of ['3', '1', '1/8']) await hand.button(key, keys);
  } else {
    await page.keyboard.type('31 1/8');
  }
  assert.equal(await field(1).inputValue(), '31 1/8');
  // the target stands there before anything is saved, and the reading is read back in both systems
  await hand.sees(target, '37 3/4 in');
  await hand.sees(page.locator('#read-knuckle-height-1-back'), '31 1/8 in (791 mm)');
  await hand.sees(page.locator('#now'), '1 reading');
  await hand.type(field(2), '31"');
  await hand.type(field(3), '79 cm');
  await hand.sees(page.locator('#now'), '3 readings');
  assert.equal(await page.locator('.taken li').count(), 0);
  await hand.button('Save the readings');
  await page.locator('.taken li').nth(2).waitFor();
  const taken = await page.locator('.taken li b').allInnerTexts();
  assert.deepEqual(
    taken.map((text) => text.replace(/\s/g, ' ')),
    ['31 1/8 in', '31"', '79 cm'],
  );
}

async function writeDown(hand) {
  const { page } = hand;
  await hand.station('Clubs');
  const at = () => page.evaluate(() => document.activeElement.getAttribute('aria-label'));
  await hand.press(page.locator('#n-1-name'));
  for (const name of ['7 iron', '8 iron']) {
    await page.keyboard.type(name);
    await page.keyboard.press('Enter');
  }
  await page.keyboard.type('9 iron');
  await page.keyboard.press('Tab');
  assert.equal(await at(), 'Length of a new club');
  for (const _ of BLOCK.slice(1)) await page.keyboard.press('ArrowUp');
  await hand.paste(BLOCK);
  // the columns are shown first; the button to fill them in has the focus
  await page.getByRole('dialog', { name: 'What will be pasted' }).waitFor();
  await page.keyboard.press('Enter');
  assert.equal(await page.locator('#n-3-mass').inputValue(), '438');
  for (const _ of ['lie', 'loft', 'mass', 'balance', 'swingweight']) await page.keyboard.press('Tab');
  assert.equal(await at(), 'Swingweight of a new club');
  for (const scale of ['D0', 'D0', 'D0.5']) {
    await page.keyboard.type(scale);
    await page.keyboard.press('Enter');
  }
  // Escape gives back what was there
  await hand.type(page.locator('#n-1-loft'), '99');
  await page.keyboard.press('Escape');
  assert.equal(await page.locator('#n-1-loft').inputValue(), '');
  await page.keyboard.type('34');
  await hand.button('Save the clubs');
  await page.getByRole('link', { name: 'More of the 9 iron' }).waitFor();
  const cell = (club, label) => page.getByLabel(`${label} of ${club}`, { exact: true }).inputValue();
  for (const [place, club] of ['7 iron', '8 iron', '9 iron'].entries()) {
    const kept = [];
    for (const label of ['Length', 'Lie', 'Loft', 'Mass']) kept.push(await cell(club, label));
    assert.deepEqual(kept, BLOCK[place]);
  }
  assert.equal(await cell('9 iron', 'Swingweight'), 'D0.5');
}

async function decide(hand) {
  const { page } = hand;
  await hand.station('Target');
  await hand.sees(page.locator('.big'), '37 3/4 in ± 7/16 in');
  await hand.button('Keep this target');
  await hand.button('Make the job');
  await hand.sees(page.locator('.jobhead'), 'Job');
  await hand.button('The golfer agrees');
  await hand.sees(page.locator('.jobhead'), 'agreed');
  await hand.button('Put on the bench');
  await hand.sees(page.locator('.jobhead'), 'on the bench');
}

/** What is to be read, as it stands beside the reading: `37 1/4 in (946 mm) ± 1/16 in`. */
function wanted(words) {
  return words
    .match(/should be ([^(±°]+)/)[1]
    .replace(/\s/g, ' ')
    .trim();
}

/** Ticks what is next, with a reading where one is taken; returns what it was. */
async function tickNext(hand) {
  const { page } = hand;
  const next = page.locator('.now');
  const what = await next.locator('.what p:not(.caution)').first().innerText();
  const before = await ticked(page);
  const field = next.getByRole('textbox');
  if (await field.count()) {
    const isCheck = what.includes('should be');
    await hand.type(field, isCheck ? wanted(what) : 'read and noted');
  }
  await hand.pause();
  await hand.press(next.getByRole('button'));
  await hand.sees(page.locator('#bench > [role="status"]'), `${before + 1} of `);
  return what;
}

async function ticked(page) {
  return Number.parseInt(await page.locator('#bench > [role="status"]').innerText(), 10);
}

async function work(hand) {
  const { page } = hand;
  while (!(await tickNext(hand)).startsWith('Roughen both')) {
    // up to the glue
  }
  await hand.button('Glued: let it cure');
  await hand.sees(page.locator('.jobhead'), 'Cures until');
  await hand.button('Put on the bench');
  await page.getByRole('region', { name: 'Next step' }).waitFor();
  while ((await page.getByRole('region', { name: 'Next step' }).count()) > 0) await tickNext(hand);
  await check(hand);
}

/** Reads the finished clubs; the first mass is off at first, and the page says so and what to do. */
async function check(hand) {
  const { page } = hand;
  const row = page.locator('#bench li', { has: page.getByLabel('Mass of the 7 iron', { exact: true }) });
  const right = wanted(await row.locator('.what').innerText());
  await hand.type(row.getByRole('textbox'), `${Number.parseInt(right, 10) + 20} g`);
  await hand.pause();
  await hand.press(row.getByRole('button'));
  await hand.sees(row.locator('.problem'), /Out of tolerance\. .{10,}/);
  assert.equal(await row.getByRole('textbox').getAttribute('aria-invalid'), 'true');
  await hand.type(row.getByRole('textbox'), right);
  await hand.pause();
  await hand.press(row.getByRole('button'));
  await hand.sees(row, 'Within tolerance');
  while ((await page.getByRole('region', { name: 'Next reading' }).count()) > 0) await tickNext(hand);
  assert.equal(await page.locator('#bench .problem').count(), 0);
  assert.equal(await page.locator('#bench .passes').count(), 3 * 4);
}

async function handOver(hand) {
  const { page } = hand;
  for (const [button, state] of [
    ['All checked', 'checked'],
    ['Ready to hand over', 'ready'],
  ]) {
    await hand.button(button);
    await hand.sees(page.locator('.jobhead'), state);
  }
  await hand.button('Hand over');
  await hand.sees(page.locator('h1'), 'Follow-up');
}

async function seeAgain(hand, name) {
  const { page } = hand;
  const day = await page.getByLabel('Day to see again').inputValue();
  assert.match(day, /^\d{1,2} [A-Z][a-z]{2} \d{4}$/);
  await hand.type(page.getByLabel('What to look at'), 'Strikes, and the lie again');
  await hand.button('Set the day');
  await hand.sees(page.locator('main'), 'Strikes, and the lie again');
  const [download] = await Promise.all([page.waitForEvent('download'), hand.link('Into your calendar')]);
  assert.match(download.suggestedFilename(), /\.ics$/);
  const [event, ...more] = eventsOf(await readFile(await download.path(), 'utf8'));
  assert.deepEqual(more, []);
  assert.equal(event['DTSTART;VALUE=DATE'], new Date(`${day} UTC`).toISOString().slice(0, 10).replaceAll('-', ''));
  assert.equal(event.SUMMARY, `See ${name} again`);
}

async function lookAtTheSheets(hand, name, plays) {
  const { page } = hand;
  await hand.station('Job');
  const number = (await page.locator('.jobhead').innerText()).match(/Job (\d+)/)[1];
  await hand.link('Job sheet');
  await hand.sees(page.locator('main'), name);
  const code = page.getByRole('img', { name: `Code that opens job ${number} at the bench` });
  assert.equal(await code.count(), 1);
  assert.ok((await code.boundingBox()).width >= 80, 'the code is large enough to be read');
  const toe = await page.evaluate(toeSide);
  assert.equal(toe > 0, plays === 'right-handed', `the toe of the drawn club is ${toe} below the shaft`);
  await hand.link('Back to the job');
  await hand.link("Golfer's sheet");
  await hand.sees(page.locator('main'), name);
  await hand.link('Back to the job');
  await page.locator('.jobhead').waitFor();
  // what the code says opens the live job
  const job = page.url();
  await page.goto(`${studio.url}/j/${number}`);
  assert.equal(page.url(), job);
  return number;
}

/** The timeline tells all of it, newest first. */
async function timeline(hand, number) {
  const { page } = hand;
  await hand.press(page.locator('.who a'));
  await page.locator('.timeline').waitFor();
  const told = (await page.locator('.timeline li > :last-child').allInnerTexts())
    .map((line) => line.replace(/\s/g, ' '))
    .reverse();
  const places = [
    'File opened',
    'Measured: knuckle height 31 1/8 in and 31" and 79 cm',
    'Clubs: 7 iron 36 3/4 in, 62 deg, 34 deg, 426 g, D0; 8 iron',
    'Target kept: six-iron 37 3/4 in ± 7/16 in',
    'Job made',
    `Job ${number} agreed`,
    `Job ${number} on the bench`,
    `Job ${number}: done, Roughen both`,
    `Job ${number} curing`,
    `Job ${number}: done, Twist and pull`,
    'g, out of tolerance',
    `Job ${number} checked`,
    `Job ${number} ready`,
    `Job ${number} handed over`,
    'To be seen again on',
  ].map((words) => [words, told.findIndex((line) => line.includes(words))]);
  const missing = places.filter(([, place]) => place < 0).map(([words]) => words);
  assert.deepEqual(missing, [], told.join('\n'));
  const sorted = places.toSorted(([, one], [, other]) => one - other);
  assert.deepEqual(places, sorted);
}

for (const [device, name, plays] of [
  ['screen', 'Imke Roos', 'right-handed'],
  ['tablet upright', 'Sandor Vass', 'left-handed'],
  ['phone', 'Nora Quist', 'right-handed'],
]) {
  test(`${device}: from the first reading to the day to be seen again`, async () => {
    await onDevices([DEVICES[device]], async (page) => {
      const complaints = complaintsOf(page);
      const hand = new Hand(page, { isTouch: DEVICES[device].hasTouch });
      await openFile(hand, name, plays);
      await measure(hand);
      await writeDown(hand);
      await decide(hand);
      await work(hand);
      await handOver(hand);
      await seeAgain(hand, name);
      const number = await lookAtTheSheets(hand, name, plays);
      await timeline(hand, number);
      assert.deepEqual(complaints, []);
    });
  });
}
