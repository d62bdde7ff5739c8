// How a page looks and what it weighs: contrast of the palette, digits in columns, bytes, and nothing that jumps.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
import { Hand } from '../lib/hand.js';
import { golferCalled } from '../lib/pages.js';
import { useStudio } from '../lib/studio.js';

const onDevices = useDevices();
const studio = await useStudio({ isFilled: true });

/** The least contrast of a colour on its ground: texts read in a bright bay, lines that carry meaning. */
const FLOORS = [
  ['--ink', '--paper', 7],
  ['--soft', '--paper', 7],
  ['--care', '--paper', 7],
  ['--want', '--paper', 4.5],
  ['--edge', '--paper', 3],
  ['--soft', '--wash', 4.5],
  ['--care', '--wash', 4.5],
  ['--edge', '--wash', 3],
];

/** Contrast as WCAG 2.2 defines it, of two colours as red, green and blue from 0 to 255. */
function contrast(one, other) {
  const luminance = (colour) =>
    colour
      .map((part) => part / 255)
      .map((part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4))
      .reduce((sum, part, place) => sum + part * [0.2126, 0.7152, 0.0722][place], 0);
  const [darker, lighter] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (lighter + 0.05) / (darker + 0.05);
}

for (const colorScheme of ['light', 'dark']) {
  test(`the palette is read in a bright bay, ${colorScheme}`, async () => {
    assert.ok(Math.abs(contrast([0, 0, 0], [255, 255, 255]) - 21) < 1e-9);
    await onDevices([{ ...DEVICES.screen, colorScheme }], async (page) => {
      await page.goto(studio.url);
      const shown = await page.evaluate((names) => {
        const probe = document.createElement('i');
        document.body.append(probe);
        return Object.fromEntries(
          names.map((name) => {
            probe.style.setProperty('color', `var(${name})`);
            return [name, getComputedStyle(probe).color.match(/\d+/g).slice(0, 3).map(Number)];
          }),
        );
      }, [...new Set(FLOORS.flatMap(([colour, ground]) => [colour, ground]))]);
      const faint = FLOORS.map(([colour, ground, least]) => [colour, ground, least, contrast(shown[colour], shown[ground])])
        .filter(([, , least, found]) => found < least)
        .map(([colour, ground, least, found]) => `${colour} on ${ground}: ${found.toFixed(2)} under ${least}`);
      assert.deepEqual(faint, []);
      // the label on the one primary button
      const button = await page.locator('.primary').evaluate((element) => {
        const { color, backgroundColor } = getComputedStyle(element);
        return [color, backgroundColor].map((text) => text.match(/\d+/g).slice(0, 3).map(Number));
      });
      assert.ok(contrast(...button) >= 4.5, `${contrast(...button)}`);
    });
  });
}

test('digits of a column are equally wide', async () => {
  const golfer = await golferCalled(studio, 'Marta Lindqvist');
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(`${studio.url}${golfer}/target`);
    await page.evaluate(() => document.fonts.ready);
    const widths = await page.evaluate(() => {
      document.querySelectorAll('details').forEach((box) => (box.open = true));
      const cell = document.querySelector('.dense tbody td');
      return ['11.1', '88.8'].map((digits) => {
        const text = document.createElement('span');
        text.textContent = digits;
        cell.append(text);
        return text.getBoundingClientRect().width;
      });
    });
    assert.equal(widths[0], widths[1]);
    assert.ok(widths[0] > 10);
  });
});

/**
 * Where the whole part of each number of the clubs' table ends, by column, worked out from the words alone: a text of
 * the cell's own font is laid out beside it and measured up to the last digit before a space, a point or a fraction.
 */
function endsOfWholeParts() {
  const columns = new Map();
  for (const row of document.querySelector('.cells').tBodies[0].rows) {
    [...row.querySelectorAll('td .cell')].forEach((cell, column) => {
      const [whole] = cell.value.match(/^[A-Z]?\d+(?=$|[ .])/) ?? [];
      if (!whole) return;
      const look = getComputedStyle(cell);
      const copy = document.createElement('span');
      copy.textContent = cell.value;
      for (const name of ['font', 'letterSpacing', 'fontVariantNumeric', 'fontFeatureSettings']) copy.style[name] = look[name];
      Object.assign(copy.style, { position: 'fixed', whiteSpace: 'pre' });
      document.body.append(copy);
      const range = document.createRange();
      range.setStart(copy.firstChild, whole.length);
      range.setEnd(copy.firstChild, cell.value.length);
      const tail = whole.length === cell.value.length ? 0 : range.getBoundingClientRect().width;
      copy.remove();
      const inner = cell.getBoundingClientRect().right - parseFloat(look.borderRightWidth) - parseFloat(look.paddingRight);
      const starts = cell.getBoundingClientRect().left + parseFloat(look.borderLeftWidth) + parseFloat(look.paddingLeft);
      const end = look.textAlign === 'right' ? inner - tail : starts;
      columns.set(column, [...(columns.get(column) ?? []), { value: cell.value, tail, end }]);
    });
  }
  return [...columns.values()];
}
const apart = (numbers) => Math.max(...numbers.map(({ end }) => end)) - Math.min(...numbers.map(({ end }) => end));

test('numbers of the clubs stand with their whole parts one under another', async () => {
  const golfer = await golferCalled(studio, 'Marta Lindqvist');
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(`${studio.url}${golfer}/clubs`);
    await page.evaluate(() => document.fonts.ready);
    const assertInLine = async () => {
      const columns = await page.evaluate(endsOfWholeParts);
      assert.ok(columns.length >= 4 && columns.every((numbers) => numbers.length >= 6), JSON.stringify(columns));
      for (const numbers of columns) assert.ok(apart(numbers) < 0.75, JSON.stringify(numbers));
      return columns;
    };
    const [lengths] = await assertInLine();
    // some have a fraction and some have none, so that standing in line is no accident
    assert.ok(lengths.some(({ tail }) => tail === 0) && lengths.some(({ tail }) => tail > 10), JSON.stringify(lengths));
    // a longer fraction makes room for itself when its cell is left
    const field = page.locator('.cells td .cell').first();
    await field.fill('37 13/16');
    await field.press('Tab');
    const widest = (numbers) => Math.max(...numbers.map(({ tail }) => tail));
    const [longer] = await assertInLine();
    assert.ok(widest(longer) > widest(lengths) + 5, JSON.stringify(longer));
    // and so does one that is pasted
    const hand = new Hand(page);
    await hand.press(page.locator('#n-1-lie'));
    await hand.paste([['62.25'], ['63'], ['63 1/16']]);
    await hand.button('Fill them in', page.getByRole('dialog', { name: 'What will be pasted' }));
    const pasted = (await assertInLine()).flat().map(({ value }) => value);
    assert.ok(pasted.includes('62.25'), pasted.join());
  });
});

test('on a tablet upright the longest numbers of a club are seen whole', async () => {
  const golfer = await golferCalled(studio, 'Marta Lindqvist');
  await onDevices([DEVICES['tablet upright']], async (page) => {
    await page.goto(`${studio.url}${golfer}/clubs`);
    await page.evaluate(() => document.fonts.ready);
    const cells = page.locator('.cells tbody tr').first().locator('td .cell');
    const longest = ['44 13/16', '60.25', '46.5', '426.5', '28 13/16', 'D9.25', '52.5'];
    assert.equal(await cells.count(), longest.length);
    for (const [place, number] of longest.entries()) await cells.nth(place).fill(number);
    await page.locator('h1').click();
    const cut = () =>
      page.locator('.cells .cell').evaluateAll((all) =>
        all.filter((cell) => cell.scrollWidth > cell.clientWidth).map((cell) => `${cell.value}: ${cell.scrollWidth} in ${cell.clientWidth}`),
      );
    assert.deepEqual(await cut(), []);
    // one that has no room is cut itself, and pushes no other out of its cell
    await cells.first().fill('44 13/16 inches');
    await page.locator('h1').click();
    const alone = await cut();
    assert.ok(alone.length === 1 && alone[0].startsWith('44 13/16 inches'), alone.join());
  });
});

test('on a phone the numbers of a club stand at the left', async () => {
  const golfer = await golferCalled(studio, 'Marta Lindqvist');
  await onDevices([DEVICES.phone], async (page) => {
    await page.goto(`${studio.url}${golfer}/clubs`);
    const looks = await page.locator('.cells td .cell').evaluateAll((cells) =>
      cells.map((cell) => `${getComputedStyle(cell).textAlign} ${getComputedStyle(cell).paddingRight}`),
    );
    assert.deepEqual([...new Set(looks)], ['left 6px']);
  });
});

const KB = 1000;

test('a first visit is light, a later one is one page', async () => {
  const golfer = await golferCalled(studio, 'Marta Lindqvist');
  await onDevices([DEVICES.phone], async (page) => {
    const session = await page.context().newCDPSession(page);
    await session.send('Network.enable');
    const asked = new Map();
    let hasMark = false;
    session.on('Network.responseReceived', ({ requestId, response, type }) => {
      hasMark ||= response.url.endsWith('-mark.svg');
      if (type !== 'EventSource') asked.set(requestId, { url: response.url, isKept: response.fromDiskCache, bytes: 0 });
    });
    session.on('Network.loadingFinished', ({ requestId, encodedDataLength }) => {
      if (asked.has(requestId)) asked.get(requestId).bytes = encodedDataLength;
    });
    const visit = async (address) => {
      asked.clear();
      await page.goto(studio.url + address);
      await page.evaluate(() => document.fonts.ready);
      await page.waitForLoadState('load');
      return [...asked.values()].filter(({ isKept, bytes }) => !isKept && bytes > 0);
    };
    const sum = (files) => files.reduce((bytes, file) => bytes + file.bytes, 0);
    const first = await visit(golfer);
    assert.ok(first.length <= 7, first.map(({ url }) => url).join('\n'));
    assert.ok(sum(first) < 90 * KB, `${sum(first)} bytes`);
    // the browser fetches the tab's mark when it has nothing else to do, which may be a page or two later
    for (let again = 0; again < 10 && (again === 0 || !hasMark); again += 1) {
      await visit(golfer);
      await page.waitForTimeout(100);
    }
    for (const station of ['measure', 'clubs', 'target', 'job', 'follow-up']) {
      const later = await visit(`${golfer}/${station}`);
      assert.equal(later.length, 1, `${station}: ${later.map(({ url }) => url).join('\n')}`);
      assert.ok(sum(later) < 15 * KB, `${station}: ${sum(later)} bytes`);
    }
  });
});

test('nothing jumps while a page is loaded', async () => {
  const golfer = await golferCalled(studio, 'Marta Lindqvist');
  for (const device of ['phone', 'screen']) {
    await onDevices([DEVICES[device]], async (page) => {
      await page.addInitScript(() => {
        window.jumped = 0;
        new PerformanceObserver((list) => list.getEntries().forEach((entry) => (window.jumped += entry.value))).observe({
          type: 'layout-shift',
          buffered: true,
        });
      });
      for (const address of ['/', golfer, ...['measure', 'clubs', 'target', 'job', 'follow-up'].map((at) => `${golfer}/${at}`)]) {
        await page.goto(studio.url + address);
        await page.evaluate(() => document.fonts.ready);
        await page.waitForTimeout(200);
        const jumped = await page.evaluate(() => window.jumped);
        assert.equal(jumped, 0, `${device}, ${address}: ${jumped}`);
      }
    });
  }
});
