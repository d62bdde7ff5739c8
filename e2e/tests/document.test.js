// A sheet is one whole file: nothing is fetched, nothing runs, and it is built as a document.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { test } from 'node:test';
import { useBrowser } from '../lib/browser.js';
import { everySheet } from '../lib/sheets.js';
import { DAY_IN_WORDS } from '../lib/tool.js';

const withPage = useBrowser();
/** What is measured here still runs: only the document's own script would not. */
const withPageWithoutScript = useBrowser({ javaScriptEnabled: false });

for (const sheet of everySheet()) {
  test(`${sheet.name}: asks for nothing but itself, and the console stays silent`, async () => {
    await withPage(async (page) => {
      const asked = [];
      const complaints = [];
      page.on('request', (request) => asked.push(request.url()));
      page.on('console', (message) => complaints.push(message.text()));
      page.on('pageerror', (error) => complaints.push(String(error)));
      await page.goto(sheet.url);
      // a rule for one medium, width or scheme may fetch what the others do not
      for (const view of [
        { width: 390, colorScheme: 'light', media: 'screen' },
        { width: 1440, colorScheme: 'dark', media: 'screen' },
        { width: 688, colorScheme: 'light', media: 'print' },
      ]) {
        await page.setViewportSize({ width: view.width, height: 900 });
        await page.emulateMedia(view);
        await page.evaluate(() => document.fonts.ready);
      }
      assert.deepEqual(
        asked.filter((url) => !url.startsWith('data:')),
        [sheet.url],
      );
      assert.deepEqual(complaints, []);
      // the font came out of the file: the first face at least is in use
      assert.equal(await page.evaluate(() => [...document.fonts][0].status), 'loaded');
    });
  });

  test(`${sheet.name}: holds no script and shows all without one`, async () => {
    const source = readFileSync(fileURLToPath(sheet.url), 'utf8');
    const words = (page) => page.locator('main').innerText();
    const [plain, hidden, active] = await withPageWithoutScript(async (page) => {
      await page.goto(sheet.url);
      return [
        await words(page),
        await page.evaluate(() =>
          [...document.querySelectorAll('main *')]
            .filter(
              (element) =>
                !element.closest('title, desc') &&
                !element.checkVisibility({ visibilityProperty: true, opacityProperty: true }),
            )
            .map((element) => element.outerHTML.slice(0, 120)),
        ),
        await page.evaluate(() =>
          [...document.querySelectorAll('*')].flatMap((element) => [
            ...(['script', 'iframe', 'object', 'embed', 'link', 'base'].includes(element.localName)
              ? [element.localName]
              : []),
            ...element.getAttributeNames().filter((name) => name.startsWith('on')),
          ]),
        ),
      ];
    });
    const scripted = await withPage(async (page) => {
      await page.goto(sheet.url);
      return words(page);
    });
    assert.deepEqual(active, []);
    assert.doesNotMatch(source, /javascript:/i);
    assert.deepEqual(hidden, []);
    assert.ok(plain.includes(sheet.golfer));
    assert.equal(plain, scripted);
    assert.ok(source.trimEnd().endsWith('</html>'));
  });

  test(`${sheet.name}: one main, one h1, headings in order, a language and a title`, async () => {
    await withPageWithoutScript(async (page) => {
      await page.goto(sheet.url);
      assert.equal(await page.locator('html').getAttribute('lang'), 'en');
      assert.equal(await page.locator('main').count(), 1);
      const levels = await page.evaluate(() =>
        [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')].map((heading) =>
          Number(heading.localName[1]),
        ),
      );
      assert.equal(levels[0], 1);
      assert.equal(levels.filter((level) => level === 1).length, 1);
      assert.ok(levels.includes(2), 'no part has a heading');
      const jumps = levels.filter((level, index) => index > 0 && level > levels[index - 1] + 1);
      assert.deepEqual(jumps, []);
      const empty = await page.evaluate(
        () =>
          [...document.querySelectorAll('h1, h2, h3, th, caption')].filter(
            (element) => !element.textContent.trim(),
          ).length,
      );
      assert.equal(empty, 0);
      const what = sheet.kind === 'job' ? 'Job sheet' : 'Length of your irons';
      assert.equal(await page.title(), `${what}, ${sheet.golfer}, ${DAY_IN_WORDS}, Lengthwise`);
    });
  });
}
