// Every drawing speaks to those who do not see it, and no text in it is cut or covered by another.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { useBrowser } from '../lib/browser.js';
import { drawings, toeSide } from '../lib/measure.js';
import { everySheet, sheetsOf } from '../lib/sheets.js';

const withPage = useBrowser();

/** On a phone and on paper the texts have other sizes than on a screen. */
const VIEWS = [
  { name: 'phone', width: 390 },
  { name: 'screen', width: 1180 },
  { name: 'paper', width: 688, media: 'print' },
];

for (const sheet of everySheet()) {
  for (const view of VIEWS) {
    test(`${sheet.name}: texts of the drawings, ${view.name}`, async () => {
      await withPage(async (page) => {
        await page.goto(sheet.url);
        await page.evaluate(() => document.fonts.ready);
        const all = await page.evaluate(drawings);
        for (const drawing of all) assert.ok(drawing.texts > 0, `${drawing.name} has no text`);
        const faults = (kind) => all.flatMap((drawing) => drawing[kind]);
        assert.deepEqual(
          { outside: faults('outside'), overlaps: faults('overlaps'), struck: faults('struck') },
          { outside: [], overlaps: [], struck: [] },
        );
      }, view);
    });
  }

  test(`${sheet.name}: each drawing has a role, a title and a description`, async () => {
    await withPage(async (page) => {
      await page.goto(sheet.url);
      const all = await page.evaluate(drawings);
      const isWithoutWork = (await page.locator('h1').textContent()) === 'No work';
      // a growing golfer's sheet draws no ladder: its targets are an adult's
      const isGrowing = (await page.locator('main').innerText()).includes('A growing golfer');
      // what nobody weighed has no before and after to draw
      const weighed = await page.locator('td[data-is="Swingweight"]', { hasText: '→' }).count();
      const pairs = weighed > 0 ? ['pairs'] : [];
      const wanted = sheet.kind === 'golfer' ? (isGrowing ? [] : ['ladder']) : isWithoutWork ? [] : ['club', ...pairs];
      assert.deepEqual(
        all.map((drawing) => drawing.name),
        wanted,
      );
      for (const drawing of all) {
        assert.equal(drawing.role, 'img');
        assert.notEqual(drawing.title, '');
        assert.notEqual(drawing.description, '');
        assert.deepEqual(drawing.labels, ['title', 'desc']);
      }
    });
  });
}

test("a left-handed golfer's club is drawn the other way round, and the words follow", async () => {
  const read = async (card) => {
    const [job, golfer] = sheetsOf(card);
    const toe = await withPage(async (page) => {
      await page.goto(job.url);
      return page.evaluate(toeSide);
    });
    const words = await withPage(async (page) => {
      await page.goto(golfer.url);
      return page.locator('main').innerText();
    });
    const [, upright, flat] = words.match(/too upright[^.]*? points (\w+), too flat (\w+)/) ?? [];
    return { toe, upright, flat };
  };
  const [right, left] = [await read('tall'), await read('left-handed')];
  assert.deepEqual([right.upright, right.flat], ['left', 'right']);
  assert.deepEqual([left.upright, left.flat], ['right', 'left']);
  assert.ok(right.toe > 15, `right-handed: the toe is ${right.toe} below the shaft`);
  assert.ok(left.toe < -15, `left-handed: the toe is ${left.toe} below the shaft`);
});
