// A narrow screen and large text: the page never scrolls sideways, a wide drawing scrolls in its own box.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { useBrowser } from '../lib/browser.js';
import { doubleEveryText, doubleTheRoot, scrollingBoxes, tooWide } from '../lib/measure.js';
import { everySheet } from '../lib/sheets.js';

/** The narrowest phone, a phone, either side of where the tables change their form, tablets both ways. */
const WIDTHS = [320, 390, 680, 681, 768, 820, 1180];
const PHONE = { width: 390, height: 844 };

const withPage = useBrowser();

/** The size of the body's text, to see that it was doubled. */
function textSize(page) {
  return page.evaluate(() => parseFloat(getComputedStyle(document.querySelector('main p.soft')).fontSize));
}

async function assertNoSidewaysScroll(page, width) {
  assert.deepEqual(await page.evaluate(tooWide, width), []);
  assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), width);
}

for (const sheet of everySheet()) {
  for (const width of WIDTHS) {
    test(`${sheet.name}: ${width} wide, no sideways scroll`, async () => {
      await withPage(
        async (page) => {
          await page.goto(sheet.url);
          await assertNoSidewaysScroll(page, width);
        },
        { width },
      );
    });
  }

  for (const [what, enlarge] of [
    ["the root's font doubled", doubleTheRoot],
    ['every text doubled', doubleEveryText],
  ]) {
    test(`${sheet.name}: 390 wide with ${what}, no sideways scroll`, async () => {
      await withPage(async (page) => {
        await page.goto(sheet.url);
        const usual = await textSize(page);
        await page.evaluate(enlarge);
        assert.equal(await textSize(page), 2 * usual);
        await assertNoSidewaysScroll(page, PHONE.width);
      }, PHONE);
    });
  }

  test(`${sheet.name}: what is wider than a phone scrolls by keyboard in a box with a name`, async () => {
    await withPage(async (page) => {
      await page.goto(sheet.url);
      const boxes = await page.evaluate(scrollingBoxes);
      assert.deepEqual(
        boxes.filter((box) => !box.scrolls || !box.isFocusable || !box.name),
        [],
      );
      // the club and the pairs are drawn for a tablet: on a phone they have to be such boxes
      assert.equal(boxes.length, await page.locator('svg.club, svg.pairs').count());
      for (const box of await page.locator('.wide').all()) {
        if (await box.evaluate((element) => element.scrollWidth <= element.clientWidth)) continue;
        await box.focus();
        assert.equal(await box.evaluate((element) => element.scrollLeft), 0);
        await page.keyboard.press('ArrowRight');
        await page.waitForFunction((element) => element.scrollLeft > 0, await box.elementHandle(), {
          timeout: 2000,
        });
      }
    }, PHONE);
  });
}
