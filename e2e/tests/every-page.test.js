// Every kind of page on every kind of device: what is true of all of them.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { findings } from '../lib/axe.js';
import { DEVICES, complaintsOf, useDevices } from '../lib/browser.js';
import { doubleEveryText, doubleTheRoot, primaries, smallTargets, tooWide } from '../lib/measure.js';
import { everyPage, open } from '../lib/pages.js';
import { useStudio } from '../lib/studio.js';

/** The smallest thing a finger hits. */
const LEAST_TARGET = 44;
/** Where the primary button has to be seen without scrolling. */
const TABLETS = ['tablet upright', 'tablet lying'];

const onDevices = useDevices();
const pages = await everyPage(await useStudio({ isDemo: true }), await useStudio());

/** Looks at every page and gathers what is wrong, each with the page's name. */
async function faultsOf(device, look, of = pages) {
  const faults = [];
  for (const kind of of) {
    await onDevices([device], async (page) => {
      const complaints = complaintsOf(page);
      await open(page, kind);
      for (const fault of await look(page, kind, complaints)) faults.push(`${kind.name}: ${fault}`);
    });
  }
  return faults;
}

for (const [device, options] of Object.entries(DEVICES)) {
  test(`${device}: axe finds no fault, light and dark`, async () => {
    const faults = await faultsOf(options, async (page) => {
      const found = [];
      for (const colorScheme of ['light', 'dark']) {
        await page.emulateMedia({ colorScheme });
        const { faults, undecided, passed } = await findings(page);
        // what axe leaves open it has not passed
        const open = undecided.filter(({ rule, html }) => rule !== 'color-contrast' || !/^<t(ext|span)/.test(html));
        found.push(...faults.map(({ rule, html }) => `${colorScheme}: ${rule}: ${html}`));
        found.push(...open.map(({ rule, html }) => `${colorScheme}: undecided: ${rule}: ${html}`));
        for (const rule of ['color-contrast', 'region', 'document-title']) {
          if (!passed.includes(rule)) found.push(`${rule} was not looked at`);
        }
      }
      return found;
    });
    assert.deepEqual(faults, []);
  });
}
