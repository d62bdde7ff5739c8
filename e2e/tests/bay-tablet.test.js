// A tablet in the bay, in a browser over TLS: let in, signed in, strikes with the connection cut, a session that ends
// midway, signed out elsewhere. Nothing is lost, nothing counts twice.
import assert from 'node:assert/strict';
import { readFileSync, writeFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { DEVICES, complaintsOf, launch } from '../lib/browser.js';
import { measured, openFile, writtenDown } from '../lib/folder.js';
import { PASSPHRASE, lanOf, onTheNetwork } from '../lib/network.js';
import { ballsOf, hit } from '../lib/trial.js';

let browser;
let studio;
before(async () => {
  [browser, studio] = await Promise.all([launch(), onTheNetwork()]);
});
after(async () => {
  await browser?.close();
  await studio?.stop();
});

/** A page on a device that goes past the warning of a certificate it does not know yet. */
async function tablet(use) {
  const context = await browser.newContext({ ...DEVICES['tablet upright'], ignoreHTTPSErrors: true });
  const page = await context.newPage();
  page.setDefaultTimeout(8000);
  page.on('dialog', (dialog) => dialog.accept());
  try {
    await use(page, context);
  } finally {
    await context.close();
  }
}

async function signsIn(page) {
  await page.getByLabel('Passphrase').fill(PASSPHRASE);
  await page.getByRole('button', { name: 'Sign in' }).click();
}

/** From the laptop's screen to the tablet's, as a person does it. */
async function letsIn(page) {
  await tabletLess(async (laptop) => {
    await laptop.goto(`${studio.url}/house`);
    await laptop.getByRole('main').getByRole('link', { name: 'Devices' }).click();
    await laptop.getByRole('button', { name: 'Show a code' }).click();
    const digits = (await laptop.locator('.joining .big').innerText()).replace(/\s/g, '');
    // what the camera reads is the address with the code
    await page.goto(`${lanOf(studio)}/join#code=${digits}`);
    assert.equal(await page.getByLabel('Code').inputValue(), digits);
    assert.ok(!page.url().includes(digits), 'the code does not stay in the address');
  });
  await page.getByLabel('What this device is called').fill('bay tablet');
  await page.getByRole('button', { name: 'Let it in' }).click();
  await page.waitForURL(/\/sign-in$/);
  await signsIn(page);
  await page.waitForURL((url) => url.pathname === '/');
}

async function tabletLess(use) {
  const context = await browser.newContext(DEVICES.screen);
  try {
    await use(await context.newPage());
  } finally {
    await context.close();
  }
}

async function aTrial() {
  const golfer = await openFile(studio, 'Bo Bay');
  await measured(studio, golfer);
  await writtenDown(studio, golfer);
  await studio.save(`${golfer}/trial`, { club: '7 iron', spread: 'quick' });
  return golfer;
}

/** Ends every session, as someone does on the laptop. */
async function everyoneOut() {
  const page = await studio.page('/house/devices');
  for (const [, number] of page.matchAll(/\/house\/sessions\/(\d+)\/end/g)) await studio.save(`/house/sessions/${number}/end`, {});
}

test('strikes are kept through a cut connection, a session that ends, and a sign-out elsewhere', () =>
  tablet(async (page, context) => {
    const complaints = complaintsOf(page);
    await letsIn(page);
    const golfer = await aTrial();
    await page.goto(`${lanOf(studio)}${golfer}/trial/visits/1`);
    await hit(page, { x: 2, y: 1 });
    assert.deepEqual(complaints, []);
    // cut
    await context.setOffline(true);
    await hit(page, { x: 3, y: 0 });
    await page.getByText(/waiting on this device/).first().waitFor();
    await context.setOffline(false);
    await page.waitForFunction(() => JSON.parse(localStorage.getItem('lengthwise-waiting') || '[]').length === 0);
    // signed out on the laptop, midway
    await everyoneOut();
    await hit(page, { x: 4, y: -1 });
    await hit(page, { x: 5, y: -2 });
    await page.getByText(/not saved yet\. Signed out/).waitFor();
    assert.equal((await ballsOf(studio, golfer, 1)).length, 2);
    const [beside] = await Promise.all([context.waitForEvent('page'), page.getByRole('link', { name: 'Sign in' }).click()]);
    await signsIn(beside);
    await beside.waitForURL((url) => url.pathname === '/');
    await beside.close();
    await page.waitForFunction(() => JSON.parse(localStorage.getItem('lengthwise-waiting') || '[]').length === 0);
    const balls = await ballsOf(studio, golfer, 1);
    assert.deepEqual(balls.map(({ ball }) => ball), [1, 2, 3, 4]);
    assert.deepEqual(balls.map(({ x_mm: x }) => x), [2, 3, 4, 5]);
    // the clock ends a session too: thirteen hours nobody was seen
    const file = studio.file.replace(/\.db$/, '.access');
    const register = JSON.parse(readFileSync(file, 'utf8'));
    for (const session of register.sessions) session.seen_ms -= 13 * 3600 * 1000;
    writeFileSync(file, JSON.stringify(register));
    await hit(page, { x: 6, y: 0 });
    await page.getByText(/1 not saved yet\. Signed out/).waitFor();
    await page.goto(`${lanOf(studio)}/sign-in`);
    await signsIn(page);
    await page.waitForURL((url) => url.pathname === '/');
    await page.waitForFunction(() => JSON.parse(localStorage.getItem('lengthwise-waiting') || '[]').length === 0);
    assert.equal((await ballsOf(studio, golfer, 1)).length, 5);
  }));

test('what was typed stays when the session ends, and is saved after signing in', () =>
  tablet(async (page, context) => {
    await letsIn(page);
    const golfer = await openFile(studio, 'Fay Form');
    await page.goto(`${lanOf(studio)}${golfer}/measure`);
    await page.getByLabel('Knuckle height, first').or(page.locator('#read-knuckle-height-1')).first().fill('29 1/4');
    await everyoneOut();
    await page.getByRole('button', { name: 'Save the readings' }).click();
    await page.getByText(/What you typed is still here; sign in and save again/).waitFor();
    assert.equal(await page.locator('#read-knuckle-height-1').inputValue(), '29 1/4');
    const [beside] = await Promise.all([context.waitForEvent('page'), page.getByRole('link', { name: 'Sign in' }).click()]);
    await signsIn(beside);
    await beside.waitForURL((url) => url.pathname === '/');
    await page.getByRole('button', { name: 'Save the readings' }).click();
    await page.getByText(/29\s?¼|29 1\/4/).first().waitFor();
    const { readings } = await (await studio.get(`/api/v1${golfer}`)).json().then(({ dossier }) => dossier);
    assert.equal(readings.length, 1);
  }));

test('health remarks and the whole studio ask for the passphrase once more', () =>
  tablet(async (page) => {
    await letsIn(page);
    const golfer = await openFile(studio, 'Hal Health');
    await studio.save(`${golfer}/remarks`, { text: 'lower back since spring', health: 'yes' });
    await page.goto(`${lanOf(studio)}${golfer}`);
    await page.getByText('About health, 1').waitFor();
    assert.equal(await page.getByText('lower back since spring').count(), 1, 'the passphrase was typed a moment ago');
    const file = studio.file.replace(/\.db$/, '.access');
    const register = JSON.parse(readFileSync(file, 'utf8'));
    for (const session of register.sessions) session.proved_ms -= 16 * 60 * 1000;
    writeFileSync(file, JSON.stringify(register));
    await page.goto(`${lanOf(studio)}${golfer}`);
    assert.ok(!(await page.content()).includes('lower back since spring'));
    // nor is there another way to them, or to one more
    const { dossier } = await (await studio.get(`/api/v1${golfer}`)).json();
    const [{ record: remark }] = dossier.remarks;
    const asks = async (path, sent) =>
      page.evaluate(
        async ([path, sent]) => {
          const more = sent && { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(sent) };
          const answer = await fetch(path, more ?? {});
          return { status: answer.status, text: await answer.text() };
        },
        [path, sent],
      );
    for (const path of [`${golfer}/tables/remarks.csv`, `${golfer}/export.json`, `${golfer}/archive.zip`]) {
      assert.equal((await asks(path)).status, 401, path);
    }
    assert.equal((await asks(`/api/v1/records/${remark.id}/history`)).status, 401);
    const seen = JSON.parse((await asks(`/api/v1${golfer}`)).text);
    assert.deepEqual([seen.dossier.remarks, seen.left_out], [[], 1]);
    const act = (record, seen) => ({ id: crypto.randomUUID(), by: 'I. F.', sentence: 'A remark', puts: [{ record: { kind: 'remark', ...record }, seen }] });
    assert.equal((await asks('/api/v1/changes', act({ ...remark, id: crypto.randomUUID() }, null))).status, 401);
    // nor is one written over, as a plain remark neither, or undone
    for (const seen of [1, 7, null]) {
      for (const health_consent of [null, remark.health_consent]) {
        const refused = await asks('/api/v1/changes', act({ ...remark, health_consent, text: 'another' }, seen));
        assert.equal(refused.status, 401);
        assert.ok(!refused.text.includes('lower back'));
      }
    }
    const [{ id: of }] = (await (await studio.get(`/api/v1${golfer}/log`)).json()).log;
    assert.equal((await asks('/api/v1/undo', { id: crypto.randomUUID(), by: 'I. F.', of })).status, 401);
    // on the laptop itself it may be changed, and stays what it is
    const plain = await studio.get('/api/v1/changes', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify(act({ ...remark, health_consent: null }, 1)),
    });
    assert.equal(plain.status, 422);
    await page.getByRole('link', { name: 'About health, 1' }).click();
    await page.getByLabel('Passphrase').fill('not the passphrase');
    await page.getByRole('button', { name: 'Go on' }).click();
    await page.getByText('That is not right.').waitFor();
    await page.getByLabel('Passphrase').fill(PASSPHRASE);
    await page.getByRole('button', { name: 'Go on' }).click();
    await page.waitForURL((url) => url.pathname === golfer);
    assert.equal(await page.getByText('lower back since spring').count(), 1);
    // opened, it is on the screen and on no paper
    await page.getByText('About health, 1').click();
    const words = page.getByText('lower back since spring');
    assert.ok(await words.isVisible());
    await page.emulateMedia({ media: 'print' });
    assert.ok(!(await words.isVisible()));
    await page.emulateMedia({ media: 'screen' });
    // the golfer no longer agrees
    await page.getByLabel(/no longer agrees/).check();
    await page.getByRole('button', { name: 'Erase them' }).click();
    await page.getByText('Remarks about health erased: the consent was taken back').first().waitFor();
    assert.equal(await page.getByText(/About health/).count(), 0);
    assert.deepEqual((await (await studio.get(`/api/v1${golfer}`)).json()).dossier.remarks, []);
    await studio.save(`${golfer}/remarks`, { text: 'lower back since spring', health: 'yes' });
    await page.goto(`${lanOf(studio)}${golfer}`);
    await page.getByText('About health, 1').waitFor();
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.waitForURL(/\/sign-in$/);
    await page.goBack();
    assert.ok(!(await page.content()).includes('lower back since spring'), 'nothing is kept by the browser');
  }));

test('signing out with strikes unsaved asks first, and leaves nothing on the device', () =>
  tablet(async (page) => {
    await letsIn(page);
    const golfer = await aTrial();
    await page.goto(`${lanOf(studio)}${golfer}/trial/visits/1`);
    await everyoneOut();
    await hit(page, { x: 2, y: 1 });
    await page.getByText(/1 not saved yet\. Signed out/).waitFor();
    const asked = page.waitForEvent('dialog');
    await page.getByRole('button', { name: 'Sign out' }).click();
    assert.match((await asked).message(), /1 not saved yet/);
    await page.waitForURL(/\/sign-in$/);
    assert.deepEqual(await page.evaluate(() => JSON.parse(localStorage.getItem('lengthwise-waiting') || '[]')), []);
  }));
