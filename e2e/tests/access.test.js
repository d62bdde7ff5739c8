// No fault that axe finds, at the widths of a phone, a tablet both ways and a screen, by day and by night.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { findings } from '../lib/axe.js';
import { useBrowser } from '../lib/browser.js';
import { faintTexts } from '../lib/measure.js';
import { everySheet } from '../lib/sheets.js';

const WIDTHS = [390, 820, 1180, 1440];
const SCHEMES = ['light', 'dark'];

const withPage = useBrowser();

for (const sheet of everySheet()) {
  test(`${sheet.name}: axe finds no fault`, async () => {
    await withPage(async (page) => {
      await page.goto(sheet.url);
      for (const width of WIDTHS) {
        for (const colorScheme of SCHEMES) {
          const where = `${width} wide, ${colorScheme}`;
          await page.setViewportSize({ width, height: 900 });
          await page.emulateMedia({ colorScheme });
          const { faults, undecided, passed } = await findings(page);
          assert.deepEqual(faults, [], where);
          // what axe leaves open it has not passed: only texts in a drawing may be so, and they are measured below
          const open = undecided.filter(
            ({ rule, html }) => rule !== 'color-contrast' || !/^<t(ext|span)/.test(html),
          );
          assert.deepEqual(open, [], `undecided, ${where}`);
          for (const rule of ['color-contrast', 'heading-order', 'region']) {
            assert.ok(passed.includes(rule), `${rule} was not looked at, ${where}`);
          }
          assert.deepEqual(await page.evaluate(faintTexts, 4.5), [], `texts of drawings, ${where}`);
        }
      }
    });
  });

  test(`${sheet.name}: dark is dark and light is light`, async () => {
    await withPage(async (page) => {
      await page.goto(sheet.url);
      const paper = async (colorScheme) => {
        await page.emulateMedia({ colorScheme });
        const colour = await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
        return Math.max(...colour.match(/\d+/g).map(Number));
      };
      assert.ok((await paper('light')) > 200);
      assert.ok((await paper('dark')) < 60);
    });
  });
}
