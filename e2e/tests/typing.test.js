// Typing: Enter, keys for fractions, pasted blocks, and the search that answers while it is typed.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
import { measured, openFile } from '../lib/folder.js';
import { Hand, answered } from '../lib/hand.js';
import { useStudio } from '../lib/studio.js';

const onDevices = useDevices();
const studio = await useStudio({ isFilled: true });

const plain = (text) => text.replace(/\s/g, ' ');

// ---- Enter -----------------------------------------------------------------------------------------------

for (const [when, before] of [
  ['the first', []],
  ['another', ['31 1/8 in']],
]) {
  test(`Enter after ${when} reading: it is saved or stays, and none is taken back`, async () => {
    const golfer = await openFile(studio, `Enja ${when}`);
    if (before.length > 0) await measured(studio, golfer, { knuckle_height: before });
    await onDevices([DEVICES.screen], async (page) => {
      await page.goto(`${studio.url}${golfer}/measure`);
      await page.locator('#read-knuckle-height-1').click();
      await page.keyboard.type('31');
      await answered(page, () => page.keyboard.press('Enter'));
      const taken = (await page.locator('.taken b').allInnerTexts()).map(plain);
      assert.deepEqual(taken.slice(0, before.length), before);
      const typed = await page
        .locator('.reading input')
        .evaluateAll((fields) => fields.map((field) => field.value));
      assert.ok(taken.includes('31 in') || typed.includes('31'), 'what was typed is gone');
    });
  });
}

test('Enter in a field of a file, of a club and of a setting saves it', async () => {
  const golfer = await openFile(studio, 'Esra Enter');
  await studio.save(`${golfer}/clubs`, { 'n.1.name': '7 iron', 'n.1.length': '37' });
  const [, club] = (await studio.page(`${golfer}/clubs`)).match(/href="([^"]+)" aria-label="More of/);
  await onDevices([DEVICES.screen], async (page) => {
    for (const [address, field, typed] of [
      [`${golfer}/file`, page.getByLabel('How to reach them'), 'by post'],
      [club, page.getByLabel('Frequency'), '300'],
      ['/house', page.getByRole('textbox', { name: 'Address and telephone' }), '1 Low Road'],
      [`${golfer}/follow-up`, page.getByLabel('What to look at'), 'the lie'],
    ]) {
      await page.goto(studio.url + address);
      await field.click();
      await page.keyboard.press('Control+A');
      await page.keyboard.type(typed);
      await answered(page, () => page.keyboard.press('Enter'));
      assert.equal(await page.locator('.summary').count(), 0);
      const shown = address.startsWith('/house')
        ? await studio.page(address)
        : await studio.page(address.replace('/file', ''));
      assert.ok(shown.includes(typed), `${typed} was not saved`);
    }
  });
});

// ---- The table -------------------------------------------------------------------------------------------

test('the keys of the table: up, down, as above, and Enter from the last row', async () => {
  const golfer = await openFile(studio, 'Tora Table');
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(`${studio.url}${golfer}/clubs`);
    const at = () => page.evaluate(() => document.activeElement.id);
    await page.locator('#n-1-length').click();
    await page.keyboard.type('37');
    await page.keyboard.press('Enter');
    assert.equal(await at(), 'n-2-length');
    await page.keyboard.press('Control+d');
    assert.equal(await page.locator('#n-2-length').inputValue(), '37');
    await page.keyboard.press('Shift+Enter');
    assert.equal(await at(), 'n-1-length');
    await page.keyboard.press('ArrowDown');
    assert.equal(await at(), 'n-2-length');
    await page.keyboard.press('Shift+Tab');
    assert.equal(await at(), 'n-2-name');
    for (let row = 2; row <= 14; row += 1) await page.keyboard.press('Enter');
    assert.equal(await at(), 'n-14-name');
    // nothing was sent by any of it
    assert.equal(new URL(page.url()).pathname, `${golfer}/clubs`);
    assert.ok((await studio.page(`${golfer}/clubs`)).includes('no club'));
  });
});

test('a block that is pasted fills cells, one that is too long says what did not fit, one word is only typed', async () => {
  const golfer = await openFile(studio, 'Paula Paste');
  await onDevices([DEVICES.screen], async (page) => {
    const hand = new Hand(page);
    await page.goto(`${studio.url}${golfer}/clubs`);
    await page.locator('#n-1-name').click();
    await hand.paste([['7 iron']]);
    assert.equal(await page.locator('#n-1-name').inputValue(), '7 iron');
    const rows = Array.from({ length: 16 }, (_, place) => [`${place + 1} iron`, '37', '62', '34']);
    await hand.press(page.locator('#n-1-name'));
    await hand.paste(rows);
    // nothing is filled in before the columns were seen
    assert.equal(await page.locator('#n-2-name').inputValue(), '');
    const preview = page.getByRole('dialog', { name: 'What will be pasted' });
    assert.deepEqual(await preview.locator('th').allInnerTexts(), ['Club', 'Length', 'Lie', 'Loft']);
    assert.match(await preview.innerText(), /16 rows, .*and 13 more/s);
    await hand.button('Leave it', preview);
    assert.equal(await page.locator('#n-2-name').inputValue(), '');
    await hand.paste(rows);
    await hand.button('Fill them in', preview);
    assert.equal(await page.locator('#n-14-name').inputValue(), '14 iron');
    assert.equal(await page.locator('#n-14-loft').inputValue(), '34');
    assert.match(await page.locator('#live').innerText(), /2 rows did not fit/);
    // what a spreadsheet puts at the end of lines is no part of a cell
    await page.locator('#n-1-mass').evaluate((cell) => {
      const clipboardData = new DataTransfer();
      clipboardData.setData('text/plain', '426\tD0\r\n432\tD1\r\n');
      cell.dispatchEvent(new ClipboardEvent('paste', { clipboardData, bubbles: true, cancelable: true }));
    });
    // the button to fill them in has the focus
    await page.keyboard.press('Enter');
    assert.equal(await page.locator('#n-2-mass').inputValue(), '432');
    assert.equal(await page.locator('#n-3-mass').inputValue(), '');
  });
});

test('Ctrl+Z undoes what was typed, and with nothing typed the last save', async () => {
  const golfer = await openFile(studio, 'Zoe Undo');
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(`${studio.url}${golfer}/clubs`);
    const cell = page.locator('#n-1-name');
    await cell.click();
    await page.keyboard.type('7 iron');
    await page.keyboard.press('Control+z');
    assert.notEqual(await cell.inputValue(), '7 iron', 'the browser undoes what was typed');
    await cell.fill('8 iron');
    await page.keyboard.press('Control+Enter');
    await page.locator('.cell[value="8 iron"]').waitFor();
    await page.locator('#n-1-name').click();
    await page.keyboard.press('Control+z');
    await page.locator('.foot', { hasText: 'Undone' }).waitFor();
    assert.equal(await page.locator('.cell[value="8 iron"]').count(), 0);
  });
});

// ---- Keys for fractions ----------------------------------------------------------------------------------

test('the keys for fractions type, are large, apart from each other, and leave the field in sight', async () => {
  const golfer = await openFile(studio, 'Kim Keys');
  for (const device of ['phone', 'tablet upright', 'tablet lying']) {
    await onDevices([DEVICES[device]], async (page) => {
      const hand = new Hand(page, { isTouch: true });
      await page.goto(`${studio.url}${golfer}/measure`);
      const field = page.locator('#read-knuckle-height-1');
      const keys = page.getByRole('group', { name: 'Keys for inches' });
      const press = (name) => hand.button(name, keys);
      await hand.press(field);
      for (const key of ['3', '1', '5/8', '1/8']) await press(key);
      assert.equal(await field.inputValue(), '31 1/8', 'a second fraction replaces the first');
      await press('Sixteenths');
      await press('15/16');
      assert.equal(await field.inputValue(), '31 15/16');
      await press('Back');
      assert.equal(await field.inputValue(), '31 15/1');
      await press('next');
      assert.ok(
        await page.locator('#read-knuckle-height-2').evaluate((next) => next === document.activeElement),
      );
      for (const key of ['7', '9', '0', 'mm']) await press(key);
      assert.equal(await page.locator('#read-knuckle-height-2').inputValue(), '790 mm');
      // the field that is typed into is not under the keys that type into it
      const faults = await keys.evaluate((pad) => {
        const boxes = [...pad.querySelectorAll('button')].map((key) => key.getBoundingClientRect());
        const small = boxes.filter((box) => box.height < 56).length;
        const close = boxes.filter((one, place) =>
          boxes.some((other, at) => {
            const [across, down] = [other.left - one.right, other.top - one.bottom];
            const isBeside =
              at !== place &&
              other.top < one.bottom &&
              other.bottom > one.top &&
              across > -one.width &&
              across >= 0;
            const isBelow = at !== place && other.left < one.right && other.right > one.left && down >= 0;
            return (isBeside && across < 8 - 0.1) || (isBelow && down < 8 - 0.1);
          }),
        ).length;
        const field = document.activeElement.getBoundingClientRect();
        const over = pad.getBoundingClientRect();
        const isCovered = field.bottom > over.top && field.top < over.bottom;
        return { small, close, isCovered };
      });
      assert.deepEqual(faults, { small: 0, close: 0, isCovered: false }, device);
      // a speed has no fractions
      await hand.press(page.getByLabel('Head speed, 7 iron, reading 1'));
      assert.ok(!(await keys.isVisible()));
    });
  }
});

test('with a mouse there are no keys for fractions', async () => {
  const golfer = await openFile(studio, 'Mo Mouse');
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(`${studio.url}${golfer}/measure`);
    await page.locator('#read-knuckle-height-1').click();
    assert.ok(!(await page.getByRole('group', { name: 'Keys for inches' }).isVisible()));
  });
});

// ---- Search ----------------------------------------------------------------------------------------------

test('the search answers from the first letter, whatever accents and case, by telephone and by job', async () => {
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(studio.url);
    const field = page.getByLabel('Find a golfer');
    const hits = page.locator('.hits');
    for (const [typed, name, station] of [
      ['m', 'Marta Lindqvist', /job 5, on the bench/],
      ['lukasz wro', 'Łukasz Wróbel', /job 7, agreed/],
      ['DVORAK', 'Karel Dvořák', /job 4, waiting for parts/],
      ['soren', 'Søren Krogh', /measured/],
      ['wanjiru', 'Wanjiru Kamau', /not measured yet/],
      ['900 152', 'Benita Okafor', /job 3, ready/],
      ['07700900633', 'Karel Dvořák', /job 4/],
      ['6', 'Tendai Moyo', /job 6, curing/],
    ]) {
      await field.click();
      await page.keyboard.press('Control+A');
      await page.keyboard.type(typed);
      const hit = hits.getByRole('link', { name });
      await hit.waitFor().catch(() => assert.fail(`"${typed}" does not find ${name}`));
      assert.match(plain(await hit.innerText()), station);
    }
    // a name that nobody has is kept, and added with one touch
    await field.click();
    await page.keyboard.press('Control+A');
    await page.keyboard.type('Quentin Ash');
    await page.locator('.hits', { hasText: 'No one is called “Quentin Ash”' }).waitFor();
    await page.getByRole('button', { name: 'left-handed', exact: true }).click();
    await page.locator('h1', { hasText: 'Quentin Ash' }).waitFor();
    assert.match(await page.locator('.who').innerText(), /plays left-handed/);
  });
});

test('Enter in the search shows what was found on a page that can be opened again', async () => {
  await onDevices([DEVICES.phone], async (page) => {
    await page.goto(`${studio.url}/house`);
    await page.getByLabel('Find a golfer').fill('marta');
    await Promise.all([page.waitForURL(/\?q=marta$/), page.keyboard.press('Enter')]);
    await page.locator('main').getByRole('link', { name: 'Marta Lindqvist' }).waitFor();
    await page.reload();
    await page.locator('main').getByRole('link', { name: 'Marta Lindqvist' }).waitFor();
  });
});

test('arrow keys go through what the search found', async () => {
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(studio.url);
    // at once: what is found for the first letter alone would come between
    await page.getByLabel('Find a golfer').fill('ma');
    await page.locator('.hits a').nth(1).waitFor();
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowDown');
    assert.ok(
      await page
        .locator('.hits a')
        .nth(1)
        .evaluate((link) => link === document.activeElement || link.getAttribute('aria-selected') === 'true'),
      'the second hit is not chosen',
    );
  });
});
