// The connection goes, the studio's machine stops, the page is closed: nothing typed or ticked is lost or counted twice.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { STEPS, openJob, rowOf, sees, storedOf, tick } from '../lib/bench.js';
import { DEVICES, useDevices } from '../lib/browser.js';
import { onTheBench, openFile } from '../lib/folder.js';
import { withStudio } from '../lib/studio.js';

const onDevices = useDevices();
/** The page tries again after at most five seconds. */
const TRIES_AGAIN = 8000;
const TABLET = DEVICES['tablet upright'];
/** Steps without a reading, in an order that is not the list's. */
const OUT_OF_ORDER = ['Dry-fit the plug', 'Slit and peel', 'Dress the joint flush', 'Wipe the butt clean'];

/** A job at the bench, open on a tablet. */
function atTheBench(use) {
  return withStudio(async (studio) => {
    const at = await onTheBench(studio, 'Cora Cutoff');
    await onDevices([TABLET], async (page) => {
      await openJob(page, studio.url + at.job);
      await use(studio, page, at);
    });
  });
}

const says = (page, words, timeout = TRIES_AGAIN) =>
  page.locator('#live', { hasText: words }).waitFor({ timeout });

/** Asserts that these steps, and no others, were ticked once each in this order. */
async function assertTicked(studio, at, steps) {
  const { done, ticks } = await storedOf(studio, at);
  assert.equal(ticks.length, steps.length, ticks.join('\n'));
  for (const [place, step] of steps.entries())
    assert.ok(ticks[place].includes(step), `${ticks[place]} is not ${step}`);
  assert.equal(done, new Set(steps).size);
}

test('ticks made without a connection wait, say so, and are sent in order, once each', async () => {
  await atTheBench(async (studio, page, at) => {
    await page.context().setOffline(true);
    for (const [place, step] of OUT_OF_ORDER.entries()) {
      await tick(page, step);
      await says(page, `${place + 1} waiting`);
    }
    assert.ok(!/Saved \d\d:\d\d/.test(await page.locator('#live').innerText()));
    assert.equal((await storedOf(studio, at)).done, 0);
    await page.context().setOffline(false);
    await sees(page, 4, TRIES_AGAIN);
    await says(page, /Saved \d\d:\d\d/);
    await assertTicked(studio, at, OUT_OF_ORDER);
  });
});

test('a reading typed without a connection waits with its tick', async () => {
  await atTheBench(async (studio, page, at) => {
    await page.context().setOffline(true);
    const row = rowOf(page, STEPS[0]);
    await row.getByRole('textbox').fill('36 3/4 in, 426 g, D0');
    await tick(page, STEPS[0]);
    await says(page, '1 waiting');
    await page.context().setOffline(false);
    await sees(page, 1, TRIES_AGAIN);
    const { ticks } = await storedOf(studio, at);
    assert.equal(ticks.length, 1);
    assert.ok(ticks[0].endsWith('36 3/4 in, 426 g, D0'), ticks[0]);
  });
});

test('on a device that keeps nothing a tick is sent all the same', async () => {
  await atTheBench(async (studio, page, at) => {
    await page.evaluate(() => {
      Storage.prototype.setItem = () => {
        throw new Error('the storage is full');
      };
    });
    await tick(page, STEPS[1]);
    await sees(page, 1);
    await assertTicked(studio, at, [STEPS[1]]);
  });
});

test('an answer that is lost on its way counts once', async () => {
  await atTheBench(async (studio, page, at) => {
    let isLost = true;
    await page.route('**/tick', async (route) => {
      if (!isLost) return route.continue();
      isLost = false;
      // the studio has it, the page does not know
      await route.fetch({ maxRedirects: 0 });
      return route.abort('connectionreset');
    });
    await tick(page, STEPS[1]);
    await says(page, '1 waiting');
    assert.equal((await storedOf(studio, at)).done, 1);
    await says(page, /Saved \d\d:\d\d/);
    assert.ok(!isLost);
    await assertTicked(studio, at, [STEPS[1]]);
  });
});

/** Answers that are not the studio's to what was sent: from something between, or before it was looked at. */
const NOT_THE_STUDIOS = {
  'a page of something between': { status: 200, body: '<h1>Welcome to the club</h1>' },
  'a redirect of something between': { status: 302, headers: { Location: 'http://portal.example/' } },
  'a refusal of something between': { status: 403, body: 'no' },
  'an answer to another entry': { status: 204, headers: { 'Lengthwise-Act': '01a213a9-f4c5-76d1-9632-000000000001' } },
};

for (const [what, answer] of Object.entries(NOT_THE_STUDIOS)) {
  test(`${what} does not take an entry from the device`, async () => {
    await atTheBench(async (studio, page, at) => {
      let isBetween = true;
      await page.route('**/tick', (route) => (isBetween ? route.fulfill(answer) : route.continue()));
      await tick(page, STEPS[1]);
      await says(page, '1 waiting');
      assert.equal((await storedOf(studio, at)).done, 0);
      isBetween = false;
      await says(page, /Saved \d\d:\d\d/);
      await assertTicked(studio, at, [STEPS[1]]);
    });
  });
}

test('the studio is killed during ticks and opened again: what waited arrives, nothing is doubled', async () => {
  await atTheBench(async (studio, page, at) => {
    await tick(page, OUT_OF_ORDER[0]);
    await sees(page, 1);
    const { url } = studio;
    const killed = studio.kill();
    // not waited for: this tick may meet the studio while it dies
    await tick(page, OUT_OF_ORDER[1]);
    await killed;
    await tick(page, OUT_OF_ORDER[2]);
    await says(page, /waiting/);
    await studio.open();
    assert.equal(studio.url, url);
    await sees(page, 3, TRIES_AGAIN);
    await tick(page, OUT_OF_ORDER[3]);
    await sees(page, 4);
    await assertTicked(studio, at, OUT_OF_ORDER);
    // the page is live again: what another device does is seen
    await studio.save(`${at.job}/tick`, { step: '0.0', done: 'yes' });
    await sees(page, 5, TRIES_AGAIN);
  });
});

test('stopped while pages are open, it ends by itself, and the page goes on when it is opened again', async () => {
  await atTheBench(async (studio, page, at) => {
    await tick(page, OUT_OF_ORDER[0]);
    await sees(page, 1);
    assert.equal(await studio.stop(), 0);
    await tick(page, OUT_OF_ORDER[1]);
    await says(page, '1 waiting');
    await studio.open();
    await sees(page, 2, TRIES_AGAIN);
    await assertTicked(studio, at, OUT_OF_ORDER.slice(0, 2));
  });
});

test('a page closed while ticks wait asks first, and one opened later sends them', async () => {
  await atTheBench(async (studio, page, at) => {
    await page.context().setOffline(true);
    for (const step of OUT_OF_ORDER.slice(0, 3)) await tick(page, step);
    await says(page, '3 waiting');
    const asked = new Promise((resolve) => {
      page.removeAllListeners('dialog');
      page.on('dialog', (dialog) => {
        resolve(dialog.type());
        dialog.accept();
      });
    });
    await page.close({ runBeforeUnload: true });
    assert.equal(await asked, 'beforeunload');
    const { done } = await storedOf(studio, at);
    assert.equal(done, 0);
    await onSameDevice(page, async (later) => {
      await later.context().setOffline(false);
      // any page sends them: the studio is what is opened first in the morning
      await later.goto(studio.url);
      await later.locator('#live', { hasText: /Saved \d\d:\d\d/ }).waitFor({ timeout: TRIES_AGAIN });
      await openJob(later, studio.url + at.job);
      await sees(later, 3);
    });
    await assertTicked(studio, at, OUT_OF_ORDER.slice(0, 3));
  });
});

test('a page whose program dies while ticks wait has lost none', async () => {
  await atTheBench(async (studio, page, at) => {
    await page.context().setOffline(true);
    for (const step of OUT_OF_ORDER) await tick(page, step);
    await says(page, '4 waiting');
    await page.close({ runBeforeUnload: false });
    await onSameDevice(page, async (later) => {
      await later.context().setOffline(false);
      await openJob(later, studio.url + at.job);
      await sees(later, 4, TRIES_AGAIN);
    });
    await assertTicked(studio, at, OUT_OF_ORDER);
  });
});

/** Another page on the device of one that is closed: it has what the device kept. */
async function onSameDevice(page, use) {
  const later = await page.context().newPage();
  later.on('dialog', (dialog) => dialog.accept());
  await use(later);
}

test('two pages of one device that wait send each tick once', async () => {
  await atTheBench(async (studio, page, at) => {
    await onSameDevice(page, async (other) => {
      await openJob(other, studio.url + at.job);
      await page.context().setOffline(true);
      await tick(page, OUT_OF_ORDER[0]);
      await tick(other, OUT_OF_ORDER[1]);
      await tick(page, OUT_OF_ORDER[2]);
      await page.context().setOffline(false);
      await sees(page, 3, TRIES_AGAIN);
      await sees(other, 3, TRIES_AGAIN);
    });
    await assertTicked(studio, at, OUT_OF_ORDER.slice(0, 3));
  });
});

// What is typed into a page and saved while the studio does not answer: it is on the page, on the page gone back to, or
// it was saved later. Never is it gone.
for (const [what, address, field, button, typed] of [
  ['readings', '/measure', '#read-knuckle-height-2', 'Save the readings', '31 1/8'],
  ['clubs', '/clubs', '#n-1-name', 'Save the clubs', '7 iron'],
  ['the file', '/file', '#contact', 'Save the file', 'by telephone, mornings'],
  ['a remark', '', '#text', 'Keep it', 'Wants to stand up to the ball.'],
]) {
  test(`saving ${what} while the studio does not answer loses nothing`, async () => {
    await withStudio(async (studio) => {
      const golfer = await openFile(studio, 'Sam Saving');
      await onDevices([TABLET], async (page) => {
        await page.goto(studio.url + golfer + address);
        if (what === 'a remark') await page.locator('summary', { hasText: 'Add a remark' }).click();
        await page.locator(field).click();
        await page.keyboard.type(typed);
        await page.waitForTimeout(400);
        await studio.kill();
        await page.waitForTimeout(400);
        // it is there while nothing is done
        assert.equal(await page.locator(field).inputValue(), typed);
        await page.getByRole('button', { name: button, exact: true }).click({ noWaitAfter: true });
        await page.waitForTimeout(600);
        await studio.open();
        const isThere = () =>
          page
            .locator(field)
            .inputValue({ timeout: 500 })
            .then((value) => value === typed)
            .catch(() => false);
        const isStored = async () => (await studio.page(golfer + address)).includes(typed);
        for (let tries = 0; tries < 6 && !(await isThere()) && !(await isStored()); tries += 1) {
          if (page.url().startsWith('chrome-error')) await page.goBack().catch(() => {});
          await page.waitForTimeout(300);
        }
        assert.ok((await isThere()) || (await isStored()), `"${typed}" is gone`);
      });
    });
  });
}

test('what is typed while the connection comes and goes is still there, and saved', async () => {
  await withStudio(async (studio) => {
    const golfer = await openFile(studio, 'Willa Weak');
    await onDevices([TABLET], async (page) => {
      await page.goto(`${studio.url}${golfer}/measure`);
      const typing = page.locator('#read-knuckle-height-1').pressSequentially('31 1/8 in', { delay: 120 });
      for (const isOffline of [true, false, true, false]) {
        await page.waitForTimeout(250);
        await page.context().setOffline(isOffline);
      }
      await typing;
      await page.locator('#now .big', { hasText: '37 3/4' }).waitFor();
      assert.equal(await page.locator('#read-knuckle-height-1').inputValue(), '31 1/8 in');
      await page.getByRole('button', { name: 'Save the readings' }).click();
      await page.locator('.taken').waitFor();
      assert.equal((await page.locator('.taken b').innerText()).replace(/\s/g, ' '), '31 1/8 in');
    });
  });
});
