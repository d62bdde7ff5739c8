// Ticks and readings at the live bench: each counts once, stands where it was typed, and what is refused is said.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { STEPS, openJob, rowOf, sees, storedOf, tick } from '../lib/bench.js';
import { DEVICES, useDevices } from '../lib/browser.js';
import { onTheBench } from '../lib/folder.js';
import { useStudio } from '../lib/studio.js';

const onDevices = useDevices();
const studio = await useStudio();

/** A new job at the bench, opened on a tablet. */
async function atTheBench(name, use) {
  const at = await onTheBench(studio, name);
  await onDevices([DEVICES['tablet upright']], async (page) => {
    await openJob(page, studio.url + at.job);
    await use(page, at);
  });
}

test('a step is ticked and not done after all', async () => {
  await atTheBench('Una Tick', async (page, at) => {
    await tick(page, STEPS[1]);
    await sees(page, 1);
    assert.match(await rowOf(page, STEPS[1]).getAttribute('class'), /\bdone\b/);
    await tick(page, STEPS[1]);
    await sees(page, 0);
    const { done, ticks } = await storedOf(studio, at);
    assert.equal(done, 0);
    assert.equal(ticks.length, 2);
    assert.match(ticks[1], /not done after all/);
  });
});

test('two touches of one knuckle count once', async () => {
  await atTheBench('Twice Touched', async (page, at) => {
    // in one breath, however slow the machine is
    const button = rowOf(page, STEPS[1]).getByRole('button');
    await button.evaluate((knuckle) => [1, 2].forEach(() => knuckle.click()));
    await sees(page, 1);
    await page.waitForTimeout(400);
    const { done, ticks } = await storedOf(studio, at);
    assert.deepEqual([done, ticks.length], [1, 1]);
  });
});

test('a touch as soon as the page is there counts', async () => {
  const at = await onTheBench(studio, 'Early Bird');
  await onDevices([DEVICES['tablet upright']], async (page) => {
    // however slow this machine is, the page takes it for its first moment
    await page.addInitScript(() => {
      Object.defineProperty(Event.prototype, 'timeStamp', { get: () => 50 });
    });
    await page.goto(studio.url + at.job);
    await page.locator('.now button').click();
    await sees(page, 1);
  });
});

test('what was typed for one step does not stand in the field of the next', async () => {
  await atTheBench('Ida Next', async (page) => {
    const next = page.locator('.now');
    for (const step of STEPS.slice(1, 3)) await tick(page, step);
    await sees(page, 2);
    // two steps that take a reading follow each other now
    await next.getByRole('textbox').click();
    await page.keyboard.type('36 3/4 in, 426 g, D0');
    await next.getByRole('button').click();
    await sees(page, 3);
    assert.match(await next.innerText(), /Look inside the butt/);
    assert.equal(await next.getByRole('textbox').inputValue(), '');
    assert.equal(await rowOf(page, STEPS[0]).getByRole('textbox').inputValue(), '36 3/4 in, 426 g, D0');
  });
});

test('what is being typed for one step stays with it when another device ticks that step', async () => {
  await atTheBench('Otto Other', async (page, at) => {
    const next = page.locator('.now');
    for (const step of STEPS.slice(1, 3)) await tick(page, step);
    await sees(page, 2);
    await next.getByRole('textbox').click();
    await page.keyboard.type('36 3/4 in');
    await studio.save(`${at.job}/tick`, { step: '0.0', typed: '37 in', done: 'yes' });
    await sees(page, 3);
    assert.match(await next.innerText(), /Look inside the butt/);
    assert.notEqual(await next.getByRole('textbox').inputValue(), '36 3/4 in');
  });
});

test('a reading that cannot be read is said to be refused, stays typed and is not called saved', async () => {
  await atTheBench('Rita Refused', async (page, at) => {
    const row = rowOf(page, 'Length should be');
    await row.getByRole('textbox').click();
    await page.keyboard.type('37 1/');
    await Promise.all([
      page.waitForResponse((answer) => answer.url().endsWith('/tick') && answer.status() === 422),
      row.getByRole('button').click(),
    ]);
    await page.waitForTimeout(600);
    const said = await page.locator('body').innerText();
    assert.ok(!/^Saved \d\d:\d\d$/m.test(said), 'the page says it was saved');
    assert.match(said, /expected a length|not saved|not taken/i);
    assert.equal(await row.getByRole('textbox').inputValue(), '37 1/');
    assert.equal((await storedOf(studio, at)).done, 0);
  });
});

test('letters typed while another device ticks are not lost, nor is the place they are typed at', async () => {
  await atTheBench('Lena Letter', async (page, at) => {
    const field = rowOf(page, STEPS[0]).getByRole('textbox');
    await field.click();
    const words = 'thirty-six and three quarters';
    const typing = page.keyboard.type(words, { delay: 40 });
    for (const step of ['0.1', '0.2', '0.4']) {
      await page.waitForTimeout(250);
      await studio.save(`${at.job}/tick`, { step, done: 'yes' });
    }
    await typing;
    await sees(page, 3);
    assert.equal(await field.inputValue(), words);
    assert.ok(await field.evaluate((element) => element === document.activeElement));
  });
});

test('where the caret stands, and what Ctrl+Z takes back, outlast a tick on another device', async () => {
  await atTheBench('Cara Caret', async (page, at) => {
    const field = rowOf(page, STEPS[0]).getByRole('textbox');
    await field.click();
    await page.keyboard.type('6 3/4');
    await page.keyboard.press('Home');
    await studio.save(`${at.job}/tick`, { step: '0.1', done: 'yes' });
    await sees(page, 1);
    await page.keyboard.type('3');
    assert.equal(await field.inputValue(), '36 3/4');
    for (const _ of '36 3/4') await page.keyboard.press('Control+Z');
    assert.equal(await field.inputValue(), '');
  });
});
