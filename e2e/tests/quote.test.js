// A job from its quote to its invoice: prices missing, put on, agreed, changed, agreed again.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
import { measured, openFile, writtenDown } from '../lib/folder.js';
import { useStudio } from '../lib/studio.js';
import { dossierOf } from '../lib/trial.js';

const onDevices = useDevices();
const studio = await useStudio();
const PRICES = {
  currency: 'EUR',
  'price.extend': '22.50',
  'price.cut': '18',
  'price.other_shaft': '40',
  'price.regrip': '12',
  'price.plug': '4',
  'price.grip': '9,95',
  'price.shaft': '35',
  'price.ferrule': '1.20',
  'price.weight': '2.50',
  'price.tax': '20 %',
  'price.deposit': '30 %',
};
const plain = (html) => html.replace(/<[^>]+>/g, ' ').replace(/\s+/g, ' ');
const jobOf = async (golfer) => (await dossierOf(studio, golfer)).jobs[0].record;

test('a quote names the prices it misses, is agreed, and a change needs a new yes', async () => {
  const golfer = await openFile(studio, 'Quinn Quote');
  await measured(studio, golfer);
  await writtenDown(studio, golfer);
  await studio.save(`${golfer}/target/keep`, {});
  const job = await studio.save(`${golfer}/job`, {});
  const refused = await studio.post(`${job}/quote`, {});
  assert.equal(refused.status, 422);
  assert.match(plain(await refused.text()), /expected a price for extending a club/);
  assert.equal((await jobOf(golfer)).quote, null);
  for (const [key, value] of Object.entries(PRICES)) await studio.save('/house', { [key]: value });
  await onDevices([DEVICES['tablet upright']], async (page) => {
    await page.goto(studio.url + job);
    await page.getByRole('button', { name: 'Quote it', exact: true }).click();
    await page.getByText('No yes written down yet').waitFor();
    const first = (await jobOf(golfer)).quote;
    const cents = (lines) => lines.reduce((sum, line) => sum + line.each * line.count, 0);
    const beforeTax = cents(first.labour) + cents(first.parts);
    const total = ((beforeTax + Math.round(beforeTax * 0.2)) / 100).toFixed(2);
    assert.match(await page.locator('#quote .lead').innerText(), new RegExp(`^EUR ${total} in all, EUR [\\d.]+ with the yes`));
    await page.getByLabel('How the golfer agreed').fill('signed');
    await page.getByRole('button', { name: 'Write the yes down' }).click();
    await page.getByText(/Agreed .*, signed/).waitFor();
    assert.equal((await jobOf(golfer)).state, 'agreed');
    // another discount: the old yes is gone
    await page.getByText('Make it anew').click();
    await page.getByLabel('Discount').fill('10 %');
    await page.getByRole('button', { name: 'Quote it anew' }).click();
    await page.getByText('No yes written down yet').waitFor();
    const changed = await jobOf(golfer);
    assert.equal(changed.state, 'quoted');
    assert.equal(changed.quote.accepted, null);
    await page.goto(`${studio.url}${job}/quote`);
    const paper = await page.locator('main').innerText();
    assert.match(paper, /Discount, 10 %/);
    assert.match(paper, /Date and signature/);
    assert.match(paper, /Balance at hand-over/);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.equal(wide, 0);
  });
  // a yes to what is no longer the quote is not taken
  const stale = await studio.post(`${job}/accept`, { how: 'by message', shown: '1' });
  assert.equal(stale.status, 422);
  assert.match(plain(await stale.text()), /has changed since this page was opened/);
  assert.equal((await jobOf(golfer)).quote.accepted, null);
});
