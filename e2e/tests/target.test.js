// Target: what would be if, with other lengths and other weights on the shelf; nothing of it is saved.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
import { measured, openFile } from '../lib/folder.js';
import { golferCalled } from '../lib/pages.js';
import { useStudio } from '../lib/studio.js';

const onDevices = useDevices();
const studio = await useStudio({ isFilled: true });
const target = `${await golferCalled(studio, 'Marta Lindqvist')}/target`;
const plain = (text) => text.replace(/<[^>]+>/g, ' ').replace(/&[a-z]+;|\s+/g, ' ');
/** What the page says would be if. */
async function answer(asked) {
  const page = await studio.page(`${target}?${new URLSearchParams(asked)}`);
  return plain(page.slice(page.indexOf('id="what-if"'), page.indexOf('</section>', page.indexOf('id="what-if"'))));
}

test('with other weights and tapes the clubs are held by others', async () => {
  const before = await studio.page('/export.json');
  const usual = await answer({ clubs: '0', knuckle: '0' });
  assert.doesNotMatch(usual, /7 iron:/, 'nothing is asked, nothing is said');
  const heavy = await answer({ butt_weights: '5 g', tapes: '0.2 g' });
  assert.match(heavy, /butt weights on the shelf 5 g/);
  assert.match(heavy, /7 iron: .*Extend/);
  const longer = await answer({ clubs: '4' });
  assert.notEqual(longer, heavy);
  assert.equal(await studio.page('/export.json'), before, 'nothing is saved');
});

test('what the shelf cannot have is said where it is asked', async () => {
  assert.match(await answer({ tapes: 'heavy' }), /An inch of tape weighs: expected/);
});

test('the answer follows what is typed', async () => {
  await onDevices([DEVICES['tablet lying']], async (page) => {
    await page.goto(studio.url + target);
    await page.locator('summary', { hasText: 'Other weights and tapes' }).click();
    await page.getByLabel('Butt weights on the shelf').fill('5 g');
    await page.locator('#what-if', { hasText: '7 iron' }).waitFor();
    assert.match(await page.locator('#what-if').innerText(), /butt weights on the shelf 5 g/);
  });
});

test('a target is kept only as it was shown', async () => {
  const golfer = await openFile(studio, 'Tara Target');
  await measured(studio, golfer);
  const [, shown] = (await studio.page(`${golfer}/target`)).match(/name="shown" value="([^"]+)"/);
  // somebody reads once more meanwhile
  await measured(studio, golfer, { knuckle_height: ['33'] });
  const refused = await studio.post(`${golfer}/target/keep`, { shown });
  assert.equal(refused.status, 409);
  assert.match(plain(await refused.text()), /the target is now 37/);
  const [, now] = (await studio.page(`${golfer}/target`)).match(/name="shown" value="([^"]+)"/);
  assert.notEqual(now, shown);
  await studio.save(`${golfer}/target/keep`, { shown: now });
});
