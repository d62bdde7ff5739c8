// How a page looks and what it weighs: contrast of the palette, digits in columns, bytes, and nothing that jumps.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
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

const KB = 1000;

test('a first visit is light, a later one is one page', async () => {
  const golfer = await golferCalled(studio, 'Marta Lindqvist');
  await onDevices([DEVICES.phone], async (page) => {
    const session = await page.context().newCDPSession(page);
    await session.send('Network.enable');
    const asked = new Map();
    session.on('Network.responseReceived', ({ requestId, response, type }) => {
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
    // the browser fetches the tab's mark when it has nothing else to do
    await visit(golfer);
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
