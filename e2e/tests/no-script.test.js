// Without script: links lead somewhere, forms post, figures are there.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { STEPS, rowOf, storedOf } from '../lib/bench.js';
import { DEVICES, useDevices } from '../lib/browser.js';
import { IRONS, measured, onTheBench, openFile, writtenDown } from '../lib/folder.js';
import { answered } from '../lib/hand.js';
import { Studio, useStudio } from '../lib/studio.js';

const onDevices = useDevices();
const studio = await useStudio();
const PLAIN = { ...DEVICES['tablet upright'], javaScriptEnabled: false };

/** A page of the studio without script, on an address. */
function plainly(address, use) {
  return onDevices([PLAIN], async (page) => {
    await page.goto(studio.url + address);
    await use(page);
  });
}

/** Presses a button and waits for the page that answers; returns the answer to what was posted. */
async function press(page, button, within = page) {
  const [answer] = await Promise.all([
    page.waitForResponse((response) => response.request().isNavigationRequest() && response.status() !== 303),
    page.waitForEvent('domcontentloaded'),
    within.getByRole('button', { name: button }).click(),
  ]);
  return answer;
}

const says = (locator) => locator.innerText().then((words) => words.replace(/\s/g, ' '));

test('a file is opened and the golfer is found', async () => {
  await plainly('/', async (page) => {
    await page.getByLabel('Name', { exact: true }).fill('Łucja Bez');
    await page.getByLabel('left-handed').check();
    await press(page, 'Open a file');
    assert.equal(await says(page.locator('h1')), 'Łucja Bez');
    // accents and case do not matter
    await page.getByLabel('Find a golfer').fill('lucja');
    await press(page, 'Find');
    await page.getByRole('link', { name: /Łucja Bez/ }).click();
    await page.locator('h1', { hasText: 'Łucja Bez' }).waitFor();
    await page.getByLabel('Find a golfer').fill('Nobody Such');
    await press(page, 'Find');
    assert.match(await says(page.locator('main')), /No one is called “Nobody Such”/);
    await press(page, 'Add Nobody Such, right-handed');
    assert.equal(await says(page.locator('h1')), 'Nobody Such');
  });
});

test('readings are saved, refused ones stay as typed, and one is taken back', async () => {
  const golfer = await openFile(studio, 'Paula Plain');
  await plainly(`${golfer}/measure`, async (page) => {
    await page.getByLabel('Knuckle height, reading 1', { exact: true }).fill('31 1/8');
    await page.getByLabel('Knuckle height, reading 2', { exact: true }).fill('33 1/');
    const answer = await press(page, 'Save the readings');
    assert.equal(answer.status(), 422);
    assert.match(await says(page.locator('.summary')), /"33 1\/"/);
    assert.match(await says(page.locator('.big')), /37 3\/4 in/);
    const typed = await page.locator('input[aria-invalid="true"]').inputValue();
    assert.equal(typed, '33 1/');
    await page.locator('input[aria-invalid="true"]').fill('31');
    await press(page, 'Save the readings');
    assert.equal(await page.locator('.summary').count(), 0);
    assert.deepEqual(
      (await page.locator('.taken b').allInnerTexts()).map((text) => text.replace(/\s/g, ' ')),
      ['31 1/8 in', '31 in'],
    );
    await press(page, 'Take back knuckle height 31 1/8');
    assert.deepEqual(
      (await page.locator('.taken b').allInnerTexts()).map((text) => text.replace(/\s/g, ' ')),
      ['31 in'],
    );
  });
});

test('Enter in a field of readings saves them, also when there are some to take back', async () => {
  const golfer = await openFile(studio, 'Enno Enter');
  await measured(studio, golfer, { knuckle_height: ['31 1/8'] });
  await plainly(`${golfer}/measure`, async (page) => {
    await page.locator('#read-knuckle-height-1').fill('31');
    await answered(page, () => page.keyboard.press('Enter'));
    await page.goto(`${studio.url}${golfer}/measure`);
    assert.deepEqual(
      (await page.locator('.taken b').allInnerTexts()).map((text) => text.replace(/\s/g, ' ')),
      ['31 1/8 in', '31 in'],
    );
  });
});

test('clubs are written down, every row is there, and a cell is changed', async () => {
  const golfer = await openFile(studio, 'Clara Clubs');
  await plainly(`${golfer}/clubs`, async (page) => {
    assert.ok((await page.locator('.cells tbody tr:visible').count()) >= 14);
    for (const [place, club] of IRONS.entries()) {
      for (const [field, value] of Object.entries(club))
        await page.locator(`[name="n.${place + 1}.${field}"]`).fill(value);
    }
    await press(page, 'Save the clubs');
    const length = page.getByLabel('Length of 8 iron', { exact: true });
    assert.equal(await length.inputValue(), '36 1/4');
    await length.fill('36 1/8');
    await press(page, 'Save the clubs');
    assert.equal(await length.inputValue(), '36 1/8');
    await page.getByRole('link', { name: 'More of the 8 iron' }).click();
    await page.getByLabel('rusted').check();
    await press(page, 'Save the club');
    assert.ok(await page.getByLabel('rusted').isChecked());
  });
});

test('a target is kept, asked what would be if, and a job made, moved on and looked at', async () => {
  const golfer = await openFile(studio, 'Teo Target');
  await measured(studio, golfer);
  await writtenDown(studio, golfer);
  await plainly(`${golfer}/target`, async (page) => {
    assert.ok((await page.locator('main svg').count()) >= 2, 'the figures are there');
    await page.goto(`${studio.url}${golfer}/target?knuckle=8&clubs=0`);
    assert.match(await says(page.locator('#what-if')), /Knuckle height \+1\/2 in/);
    await press(page, 'Keep this target');
    assert.match(new URL(page.url()).pathname, /\/job$/);
    await press(page, 'Make the job');
    await press(page, 'The golfer agrees');
    await press(page, 'Put on the bench');
    assert.match(await says(page.locator('.jobhead')), /on the bench/);
    await page.getByRole('link', { name: 'Job sheet' }).click();
    await page.locator('figure.code svg').waitFor();
    assert.equal(await page.getByRole('button', { name: 'Print' }).count(), 0, 'a button that does nothing');
  });
});

test('a step is ticked, a reading judged, and the tick undone at the foot', async () => {
  const at = await onTheBench(studio, 'Tove Tick');
  await plainly(at.job, async (page) => {
    await press(page, /^Done/, rowOf(page, STEPS[1]));
    assert.match(await says(page.locator('#bench > [role="status"]')), /^1 of /);
    const check = rowOf(page, 'Mass should be');
    await check.getByRole('textbox').fill('480 g');
    await press(page, /^Read/, check);
    assert.match(await says(check), /Out of tolerance/);
    await press(page, 'Undo');
    assert.equal((await storedOf(studio, at)).done, 1);
    await press(page, /^Not done/, rowOf(page, STEPS[1]));
    assert.equal((await storedOf(studio, at)).done, 0);
  });
});

test('a day to see again is set, written down, and a setting saved', async () => {
  const golfer = await openFile(studio, 'Fanny Follow');
  await plainly(`${golfer}/follow-up`, async (page) => {
    await press(page, 'Set the day');
    await page.getByLabel('What was found').fill('All tight.');
    await press(page, 'Seen today');
    assert.match(await says(page.locator('main')), /All tight\./);
    await page.goto(`${studio.url}/house`);
    await page.getByRole('textbox', { name: 'Glue cures' }).fill('36');
    await press(page, 'Save: Glue cures');
    assert.equal(await page.getByRole('textbox', { name: 'Glue cures' }).inputValue(), '36');
  });
});

test('every link of every page leads to a page', async () => {
  const example = await new Studio({ isDemo: true }).open();
  try {
    const seen = new Set(['/']);
    const bad = [];
    for (const address of seen) {
      const answer = await example.get(address);
      const kind = answer.headers.get('content-type') ?? '';
      if (![200, 303].includes(answer.status)) bad.push(`${address}: ${answer.status}`);
      const text = kind.startsWith('text/html') ? await answer.text() : (await answer.arrayBuffer(), '');
      for (const [, href] of text.matchAll(/href="(\/[^"#]*)/g)) seen.add(href.replaceAll('&amp;', '&'));
    }
    assert.ok(seen.size > 100, `${seen.size} addresses`);
    assert.deepEqual(bad, []);
  } finally {
    await example.stop();
  }
});
