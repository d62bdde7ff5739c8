// The house: what a setting does on the example, the language of dates, and what a device remembers of itself.
import assert from 'node:assert/strict';
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
import { SmallDisk } from '../lib/disk.js';
import { measured, openFile } from '../lib/folder.js';
import { Hand, answered } from '../lib/hand.js';
import { useStudio, withStudio } from '../lib/studio.js';
import { lengthwise } from '../lib/tool.js';

const onDevices = useDevices();
const studio = await useStudio();
const plain = (text) => text.replace(/\s+/g, ' ');

test('what a setting would do stands beneath it while it is typed, and nothing is saved', async () => {
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(`${studio.url}/house`);
    await page.getByRole('textbox', { name: 'Glue cures', exact: true }).fill('36');
    const said = page.locator('#on-example-cure-hours');
    await said.locator('li').first().waitFor();
    assert.match(plain(await said.innerText()), /24 h.* becomes .*36 h/);
    await page.getByLabel('Build to', { exact: true }).selectOption('1/16 in');
    await page.locator('#on-example-round-to li').first().waitFor();
    assert.match(plain(await page.locator('#on-example-round-to').innerText()), /six-iron: 37 5\/8 in .* becomes 37 9\/16 in/);
    assert.ok((await studio.page('/house')).includes('name="cure_hours" value="24"'));
  });
});

test('without script a button shows the example', async () => {
  await onDevices([{ ...DEVICES.screen, javaScriptEnabled: false }], async (page) => {
    await page.goto(`${studio.url}/house`);
    await page.getByRole('textbox', { name: 'Glue cures', exact: true }).fill('36');
    await page.getByRole('button', { name: 'On the example: Glue cures' }).click();
    assert.match(plain(await page.locator('#on-example-cure-hours').innerText()), /becomes .*36 h/);
    assert.equal(await page.getByRole('textbox', { name: 'Glue cures', exact: true }).inputValue(), '36');
    assert.ok((await studio.page('/house')).includes('name="cure_hours" value="24"'));
    // what the house cannot have is told, not shown
    await page.getByRole('textbox', { name: 'Glue cures', exact: true }).fill('soon');
    await page.getByRole('button', { name: 'On the example: Glue cures' }).click();
    assert.match(await page.locator('.summary').innerText(), /Glue cures/);
  });
});

/** The languages of the house and their tags. */
const LANGUAGES = {
  'American English': 'en-US',
  dansk: 'da',
  Nederlands: 'nl',
  français: 'fr',
  Deutsch: 'de',
  italiano: 'it',
  norsk: 'nb',
  polski: 'pl',
  español: 'es',
  svenska: 'sv',
  // last, as it is the usual one
  English: 'en-GB',
};

test('days are written as Unicode has it for the language, and read again', async () => {
  const golfer = await openFile(studio, 'Dana Date');
  for (const [language, tag] of Object.entries(LANGUAGES)) {
    await studio.save('/house', { dates: language });
    const written = new Intl.DateTimeFormat(tag, { day: 'numeric', month: 'short', year: 'numeric' });
    for (let month = 0; month < 12; month += 1) {
      const day = written.format(new Date(2027, month, 3));
      // ours writes Sep, as the rest of its English
      const expected = tag === 'en-GB' ? day.replace('Sept', 'Sep') : day;
      await studio.save(`${golfer}/follow-up`, { due: day, what: 'strikes' });
      const page = await studio.page(`${golfer}/follow-up`);
      assert.ok(page.includes(`<p class="big">${expected}</p>`), `${language}: ${expected}`);
      const [, of] = page.match(/name="of" value="([^"]+)"/);
      await studio.save(`${golfer}/follow-up`, { of, found: 'seen' });
    }
  }
});

test('a device remembers its look and its thumb, and no other device does', async () => {
  await onDevices([DEVICES['tablet upright'], DEVICES['tablet upright']], async (one, other) => {
    for (const page of [one, other]) await page.goto(`${studio.url}/house`);
    const paper = (page) => page.evaluate(() => Math.max(...getComputedStyle(document.documentElement).backgroundColor.match(/\d+/g).map(Number)));
    assert.ok((await paper(one)) > 200);
    await one.getByLabel('dark', { exact: true }).check();
    await one.getByLabel('the left hand').check();
    await answered(one, () => one.getByRole('button', { name: 'Keep it on this device' }).click());
    await one.waitForFunction(() => document.documentElement.dataset.look === 'dark');
    assert.ok((await paper(one)) < 60);
    await other.reload();
    assert.ok((await paper(other)) > 200);
    // the button at the thumb stands at the other side
    const golfer = await openFile(studio, 'Theo Thumb');
    const left = async (page) => {
      await page.goto(`${studio.url}${golfer}/measure`);
      const box = await page.locator('.keepbar .primary').boundingBox();
      return box.x + box.width / 2 < page.viewportSize().width / 2;
    };
    assert.equal(await left(one), true);
    assert.equal(await left(other), false);
    // light on paper all the same
    await one.emulateMedia({ media: 'print' });
    assert.ok((await paper(one)) > 200);
  });
});

test('the keys for fractions can be hidden, and stay so', async () => {
  const golfer = await openFile(studio, 'Hilde Hidden');
  await measured(studio, golfer);
  await onDevices([DEVICES.phone], async (page) => {
    const hand = new Hand(page, { isTouch: true });
    await page.goto(`${studio.url}${golfer}/measure`);
    const keys = page.getByRole('group', { name: 'Keys for inches' });
    const field = page.locator('#read-knuckle-height-1');
    await hand.press(field);
    await hand.button('Hide these keys', keys);
    await keys.waitFor({ state: 'hidden' });
    await page.reload();
    await hand.press(field);
    assert.ok(!(await keys.isVisible()));
    await hand.button('Keys for fractions');
    await keys.waitFor();
    assert.ok(await field.evaluate((box) => box === document.activeElement), 'the field keeps the focus');
  });
});

test('the first page asks for a copy on another drive, and again after a week', { skip: SmallDisk.refusal() ?? false }, () =>
  withStudio(async (studio) => {
    await openFile(studio, 'Cora Copy');
    assert.match(await studio.page('/'), /No copy of this studio lies on another drive yet/);
    const beside = path.dirname(studio.file);
    assert.equal(lengthwise(studio.file, 'backup', path.join(beside, 'copy.db')).code, 0);
    assert.match(await studio.page('/'), /No copy of this studio lies on another drive yet/, 'the same drive is none');
    const disk = new SmallDisk(20_000_000);
    assert.equal(lengthwise(studio.file, 'backup', path.join(disk.folder, 'copy.db')).code, 0);
    assert.doesNotMatch(await studio.page('/'), /another drive/);
    const wasOn = (days) => {
      const day = new Date(Date.now() - days * 86_400_000).toISOString().slice(0, 10);
      writeFileSync(path.join(beside, 'backups', 'elsewhere.txt'), day);
    };
    wasOn(5);
    assert.doesNotMatch(await studio.page('/'), /another drive/);
    wasOn(9);
    assert.match(await studio.page('/'), /The last copy of this studio on another drive is of/);
    disk.remove();
  }));
