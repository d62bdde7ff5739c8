// On paper: few pages, and nothing cut off at the right.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { useBrowser } from '../lib/browser.js';
import { scrollingBoxes, tooWide } from '../lib/measure.js';
import { golferCalled } from '../lib/pages.js';
import { everySheet } from '../lib/sheets.js';
import { useStudio } from '../lib/studio.js';

const withPage = useBrowser();
const studio = await useStudio({ isFilled: true });
const MOST_PAGES = { job: 4, golfer: 3 };

/** Pages of a PDF. The browser writes page objects uncompressed, so they can be counted in the bytes. */
function pages(pdf) {
  const text = pdf.toString('latin1');
  const counted = text.match(/\/Type\s*\/Page(?![A-Za-z])/g)?.length ?? 0;
  // the page tree says how many there are too: if the two differ, the file is not what this reads
  const said = Math.max(...[...text.matchAll(/\/Count (\d+)/g)].map((match) => Number(match[1])));
  assert.equal(counted, said, 'pages counted and pages said');
  return counted;
}

/** The width between the sheet's own margins on the narrower of the papers in use, A4, in CSS pixels. */
function widthOnPaper() {
  const rule = [...document.styleSheets]
    .flatMap((style) => [...style.cssRules])
    .find((candidate) => candidate instanceof CSSPageRule);
  const ruler = document.body.appendChild(document.createElement('div'));
  ruler.style.cssText = `position: absolute; visibility: hidden; width: calc(210mm - ${rule.style.marginLeft} - ${rule.style.marginRight})`;
  const { width } = ruler.getBoundingClientRect();
  ruler.remove();
  return { width, size: rule.style.size };
}

for (const sheet of everySheet()) {
  test(`${sheet.name}: at most ${MOST_PAGES[sheet.kind]} pages`, async () => {
    await withPage(async (page) => {
      await page.goto(sheet.url);
      const count = pages(await page.pdf({ preferCSSPageSize: true, printBackground: false }));
      assert.ok(count >= 1 && count <= MOST_PAGES[sheet.kind], `${count} pages`);
    });
  });

  test(`${sheet.name}: nothing is cut off at the right of the paper`, async () => {
    await withPage(
      async (page) => {
        await page.goto(sheet.url);
        const { width, size } = await page.evaluate(widthOnPaper);
        assert.equal(size, '', 'the reader chooses the paper');
        await page.setViewportSize({ width: Math.floor(width), height: 1000 });
        assert.deepEqual(await page.evaluate(tooWide, Math.floor(width)), []);
        // paper does not scroll: a box that holds more than it shows cuts it off
        assert.deepEqual(await page.evaluate(scrollingBoxes), []);
        // someone reading in the dark still prints on white
        const ground = await page.evaluate(() => getComputedStyle(document.documentElement).backgroundColor);
        assert.equal(ground, 'rgb(255, 255, 255)');
      },
      { media: 'print', colorScheme: 'dark' },
    );
  });
}

/** Tables that end right of what holds the page's content, each with how far. */
function tablesOverTheEdge() {
  const edge = document.querySelector('main').getBoundingClientRect().right;
  return [...document.querySelectorAll('main table')]
    .map((table) => ({ words: table.textContent.trim().slice(0, 40), over: table.getBoundingClientRect().right - edge }))
    .filter(({ over }) => over > 0.5);
}

for (const station of ['measure', 'clubs', 'target', 'job', 'follow-up']) {
  test(`${station} with everything opened: nothing is cut off at the right of the paper`, async () => {
    const golfer = await golferCalled(studio, 'Marta Lindqvist');
    await withPage(
      async (page) => {
        await page.goto(`${studio.url}${golfer}/${station}`);
        await page.evaluate(() => document.fonts.ready);
        const { width } = await page.evaluate(widthOnPaper);
        await page.setViewportSize({ width: Math.floor(width), height: 1000 });
        await page.evaluate(() => document.querySelectorAll('details').forEach((box) => (box.open = true)));
        // the ways of each iron and wedge stand in a table
        if (station === 'target') assert.ok((await page.locator('.club table').count()) > 5);
        assert.deepEqual(await page.evaluate(tablesOverTheEdge), []);
        assert.deepEqual(await page.evaluate(tooWide, Math.floor(width)), []);
        const cut = (await page.evaluate(scrollingBoxes)).filter((box) => !box.what.startsWith('input'));
        assert.deepEqual(cut, []);
      },
      { media: 'print' },
    );
  });
}
