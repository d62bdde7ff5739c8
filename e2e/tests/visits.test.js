// Visits and photos: what a golfer came for, and a photo that counts once and can be taken back.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
import { measured, openFile, writtenDown } from '../lib/folder.js';
import { answered } from '../lib/hand.js';
import { clubOf } from '../lib/pages.js';
import { useStudio } from '../lib/studio.js';
import { sendPhoto } from '../lib/upload.js';

const onDevices = useDevices();
const studio = await useStudio();

test('a visit says what for, counts its readings, and is one visit a day', async () => {
  const golfer = await openFile(studio, 'Vera Visit');
  await measured(studio, golfer);
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(studio.url + golfer);
    const visits = page.locator('.days');
    assert.match(await visits.innerText(), /3 readings/);
    const write = async (control, about) => {
      await page.locator('summary', { hasText: control }).click();
      await page.getByLabel('What they came for').fill(about);
      await answered(page, () => page.locator('form[action$="/visits"] button').click());
      await visits.locator('li', { hasText: about }).waitFor();
    };
    await write('Change what today is for', 'Low on the face with the long irons');
    await write('Change what today is for', 'Thin strikes');
    assert.equal(await visits.locator('li', { hasText: 'readings' }).count(), 1, 'one visit a day');
    assert.match(await page.locator('.timeline').innerText(), /Came for: Thin strikes/);
  });
  const tables = await studio.page(`${golfer}/tables/visits.csv`);
  assert.match(tables, /Thin strikes/);
});

test('what another wrote of the same visit is not written over unseen', async () => {
  const golfer = await openFile(studio, 'Vito Visit');
  await studio.save(`${golfer}/visits`, { about: 'Longer irons' });
  // drawn before there was a visit: it has seen none
  const late = await studio.post(`${golfer}/visits`, { about: 'Shorter irons' });
  assert.equal(late.status, 409);
  const told = await late.text();
  assert.ok(told.includes('Longer irons') && told.includes('Shorter irons'));
});

test('a photo sent twice is one photo, and can be taken back and brought back', async () => {
  const golfer = await openFile(studio, 'Phil Photo');
  await writtenDown(studio, golfer);
  const club = await clubOf(studio, golfer, '7 iron');
  const [, act] = (await studio.page(club)).match(/enctype="multipart\/form-data"[^>]*><input type="hidden" name="act" value="([^"]+)"/);
  const send = (more = '') => sendPhoto(studio, club, { act, caption: 'loose ferrule' }, { more });
  assert.deepEqual([(await send()).status, (await send()).status], [303, 303]);
  // another picture under the same act is not taken for the first
  assert.equal((await send('and more')).status, 409);
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(studio.url + club);
    const photo = page.getByRole('img', { name: 'loose ferrule' });
    assert.equal(await photo.count(), 1);
    await answered(page, () => page.getByRole('button', { name: 'Take back the photo: loose ferrule' }).click());
    await photo.waitFor({ state: 'detached' });
    await answered(page, () => page.getByRole('button', { name: 'Undo', exact: true }).click());
    await photo.waitFor();
  });
});
