// Every kind of page on every kind of device: what is true of all of them.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { findings } from '../lib/axe.js';
import { DEVICES, complaintsOf, useDevices } from '../lib/browser.js';
import {
  atTheEdge,
  coveredWhenFocused,
  doubleEveryText,
  doubleTheRoot,
  faintTexts,
  primaries,
  scrollingBoxes,
  smallTargets,
  speakLonger,
  tooWide,
} from '../lib/measure.js';
import { SERVER, newChain } from '../lib/chain.js';
import { everyPage, open } from '../lib/pages.js';
import { useStudio } from '../lib/studio.js';

/** The smallest thing a finger hits. */
const LEAST_TARGET = 44;
/** A hand that holds the device touches its edges: nothing is pressed there but the bar at the thumb. */
const EDGE = 24;
const NARROWEST = 320;
/** All that the dark can change. */
const OF_COLOUR = ['color-contrast', 'link-in-text-block'];

const onDevices = useDevices();
const pages = await everyPage(
  await useStudio({ isDemo: true }),
  await useStudio({ more: ['--lan', '127.0.0.1:0'] }),
  SERVER && (await useStudio({ data: newChain().olga })),
);

/** The faults of every page on a device by what was looked at, each with the page's name; looked at once. */
const walks = new Map();
function faultsOn(device) {
  if (!walks.has(device)) walks.set(device, walk(device));
  return walks.get(device);
}

async function walk(device) {
  const all = {};
  await onDevices([DEVICES[device]], async (page) => {
    const complaints = complaintsOf(page);
    for (const kind of pages) {
      complaints.length = 0;
      await page.setViewportSize(DEVICES[device].viewport);
      await page.emulateMedia({ colorScheme: 'light' });
      await open(page, kind);
      const found = {
        shape: await shape(page, kind),
        primary: await primary(page, kind, device),
        targets: await page.evaluate(smallTargets, LEAST_TARGET),
        edge: await page.evaluate(atTheEdge, EDGE),
        covered: await page.evaluate(coveredWhenFocused),
        axe: await axe(page),
        sideways: await sideways(page, device),
        // the browser says of every answer but 200 that it is one
        complaints: complaints.filter((words) => !words.includes(`status of ${kind.status} (`)),
      };
      // the last, as it changes what the page says
      found.longer = await longer(page, device);
      for (const [look, faults] of Object.entries(found)) {
        (all[look] ??= []).push(...faults.map((fault) => `${kind.name}: ${fault}`));
      }
    }
  });
  return all;
}

async function shape(page, kind) {
  const counted = await page.evaluate(() =>
    ['h1', 'main', 'title'].map((part) => [
      part,
      document.querySelectorAll(`head > ${part}, body ${part}:not(svg ${part})`).length,
    ]),
  );
  const faults = counted.filter(([, count]) => count !== 1).map(([part, count]) => `${count} of ${part}`);
  const title = await page.title();
  if (title !== `${kind.title}, Lengthwise`) faults.push(`titled ${title}`);
  // what leads on stands in the same place on every page; a sheet is paper
  const ways = await page.locator('header nav a').allInnerTexts();
  if (!kind.isPaper && !kind.isDoorway && ways.join() !== 'Studio,Shelf,House,Help') faults.push(`leads to ${ways}`);
  if ((await page.locator('html').getAttribute('lang')) !== 'en') faults.push('no language');
  return faults;
}

/** A page of the spine has one thing to do next, seen without scrolling on a tablet whichever way it is held. */
async function primary(page, kind, device) {
  const buttons = await page.evaluate(primaries);
  const words = buttons.map((button) => `"${button.words}"`).join(', ');
  if (kind.isOnSpine ? buttons.length !== 1 : buttons.length > 1)
    return [`${buttons.length} primary buttons: ${words}`];
  const { height } = DEVICES[device].viewport;
  const isBelow = kind.isOnSpine && device.startsWith('tablet') && buttons[0].end > height;
  return isBelow ? [`${words} ends at ${buttons[0].end.toFixed(0)} of ${height}`] : [];
}

async function axe(page) {
  // what stays at the thumb lies over what is under it, and a box that scrolls hides a part: that is a matter of
  // scrolling, and looked at elsewhere
  const unfold = () => {
    const set = (what, property, value) =>
      document.querySelectorAll(what).forEach((box) => box.style.setProperty(property, value));
    set('.keepbar, .keypad', 'position', 'static');
    set('.wide', 'overflow', 'visible');
    return () => {
      set('.keepbar, .keypad', 'position', '');
      set('.wide', 'overflow', '');
    };
  };
  const fold = await page.evaluateHandle(unfold);
  const found = [];
  for (const colorScheme of ['light', 'dark']) {
    await page.emulateMedia({ colorScheme });
    const { faults, undecided, passed } = await findings(
      page,
      colorScheme === 'dark' ? OF_COLOUR : undefined,
    );
    // what axe leaves open it has not passed
    const open = undecided.filter(
      ({ rule, html }) => rule !== 'color-contrast' || !/^<t(ext|span)/.test(html),
    );
    found.push(...faults.map(({ rule, html }) => `${colorScheme}: ${rule}: ${html}`));
    found.push(...open.map(({ rule, html }) => `${colorScheme}: undecided: ${rule}: ${html}`));
    if (!passed.includes('color-contrast')) found.push(`${colorScheme}: no contrast was looked at`);
    found.push(...(await page.evaluate(faintTexts, 4.5)).map((text) => `${colorScheme}: ${text}`));
  }
  await fold.evaluate((refold) => refold());
  return found;
}

async function sideways(page, device) {
  const { width, height } = DEVICES[device].viewport;
  const wide = async (where, at) => {
    const standing = await page.evaluate(tooWide, at);
    const scrolled = await page.evaluate(() => document.documentElement.scrollWidth);
    // what is typed into a field is read along with the arrow keys
    const cut = (await page.evaluate(scrollingBoxes)).filter(
      (box) => !box.what.startsWith('input') && (!box.scrolls || !box.isFocusable || !box.name),
    );
    return [
      ...standing
        .slice(0, 1)
        .map(
          (first) => `${where}: ${first}${standing.length > 1 ? `, and ${standing.length - 1} more` : ''}`,
        ),
      ...(scrolled === at ? [] : [`${where}: scrolls sideways to ${scrolled} of ${at}`]),
      ...cut.map(
        (box) => `${where}: ${box.what} holds more than it shows and cannot be scrolled by keyboard`,
      ),
    ];
  };
  const faults = await wide(`${width} wide`, width);
  if (device !== 'phone') return faults;
  await page.setViewportSize({ width: NARROWEST, height });
  faults.push(...(await wide(`${NARROWEST} wide`, NARROWEST)));
  await page.setViewportSize({ width, height });
  const usual = await textSize(page);
  await page.evaluate(doubleTheRoot);
  if ((await textSize(page)) !== 2 * usual) faults.push('a root of twice the size does not double the text');
  faults.push(...(await wide("the root's font doubled", width)));
  await page.evaluate(() => document.documentElement.style.removeProperty('font-size'));
  await page.evaluate(doubleEveryText);
  faults.push(...(await wide('every text doubled', width)));
  return faults;
}

/** Another language takes more room: every text two fifths longer, with letters of many alphabets. */
async function longer(page, device) {
  const { width, height } = DEVICES[device].viewport;
  await page.setViewportSize({ width, height });
  await page.evaluate(() => document.querySelectorAll('*').forEach((element) => element.style?.removeProperty('font-size')));
  const grown = await page.evaluate(speakLonger);
  if (grown < 1.4) return [`the text grew only ${grown.toFixed(2)} times`];
  const standing = await page.evaluate(tooWide, width);
  const scrolled = await page.evaluate(() => document.documentElement.scrollWidth);
  return [...standing.slice(0, 1), ...(scrolled === width ? [] : [`scrolls sideways to ${scrolled} of ${width}`])];
}

function textSize(page) {
  return page.evaluate(() => parseFloat(getComputedStyle(document.querySelector('main')).fontSize));
}

for (const device of Object.keys(DEVICES)) {
  for (const [look, says] of [
    ['shape', 'one h1, one main, one place for help, a language, and a title of what, who, Lengthwise'],
    ['primary', 'one primary button on a page of the spine, on a tablet in view'],
    ['targets', `what is touched is at least ${LEAST_TARGET} high`],
    ['edge', `what is touched stands ${EDGE} from the screen's left and right edge`],
    ['covered', 'what has the focus is not under the bar at the thumb'],
    ['axe', 'axe finds no fault, light and dark'],
    ['sideways', 'no sideways scroll'],
    ['longer', 'text two fifths longer finds its room'],
    ['complaints', 'the console is silent and the policy stops nothing'],
  ]) {
    test(`${device}: ${says}`, async () => {
      const faults = (await faultsOn(device))[look];
      assert.equal(faults.length, 0, `\n${faults.join('\n')}`);
    });
  }
}
