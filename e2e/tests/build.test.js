// Build from the shelf: total mass is asked for, and the ways of an answer become the fitter's choice on Target.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
import { measured, openFile, writtenDown } from '../lib/folder.js';
import { useStudio } from '../lib/studio.js';
import { dossierOf } from '../lib/trial.js';

const onDevices = useDevices();
const studio = await useStudio();
const IRONS = [
  { name: '6 iron', length: '37 1/4', mass: '419', swingweight: 'D0' },
  { name: '7 iron', length: '36 3/4', mass: '426', swingweight: 'D1' },
  { name: '8 iron', length: '36 1/4', mass: '432', swingweight: 'D0' },
];

test('the ways of an answer are taken for all clubs at once', async () => {
  const golfer = await openFile(studio, 'Tara Test');
  await measured(studio, golfer);
  await writtenDown(studio, golfer, IRONS);
  await studio.save('/shelf', { kind: 'plug', name: 'Rod', diameter: '0.600', 'at-hand': '9' });
  await studio.save('/shelf', { kind: 'grip', name: 'Round', diameter: '0.600', mass: '50', 'at-hand': '9' });
  const wished = async () => (await dossierOf(studio, golfer)).clubs.map(({ record }) => record.way ?? null);
  assert.deepEqual(await wished(), [null, null, null]);
  await onDevices([DEVICES['tablet upright']], async (page) => {
    await page.goto(`${studio.url}${golfer}/job/build`);
    await page.getByLabel('Total mass').selectOption({ label: "within 4 g of the set's own line" });
    await page.getByRole('button', { name: 'Work it out' }).click();
    await page.getByText(/within 4 g of its own line of masses/).waitFor();
    const table = page.locator('table.built').first();
    const shown = await table.locator('td[data-is="Way"]').allInnerTexts();
    assert.equal(shown.length, IRONS.length);
    await page.getByRole('button', { name: 'Take these ways: answer 1' }).click();
    await page.waitForURL(/\/target$/);
    const taken = await wished();
    // the words of a way begin with its kind: "Extend 1/2 in"
    taken.forEach((way, club) => assert.ok(shown[club].toLowerCase().startsWith(way), `${shown[club]} was shown, ${way} taken`));
    assert.equal(await page.getByText('your choice').count(), IRONS.length);
    await page.goto(`${studio.url}${golfer}/job/build`);
    await page.getByText('These ways are your choice on Target.').first().waitFor();
    await page.getByRole('button', { name: 'Undo', exact: true }).click();
    await page.getByRole('button', { name: 'Take these ways: answer 1' }).waitFor();
    assert.deepEqual(await wished(), [null, null, null]);
  });
});
