// The installed browser: one page at a time in it, or devices of their own.
import { existsSync } from 'node:fs';
import path from 'node:path';
import { after, before } from 'node:test';
import { chromium } from 'playwright-core';

/** The longest anything on a page is waited for, ms. */
const PATIENCE = 8000;
const NAMES = ['chromium', 'chromium-browser', 'google-chrome'];
/** Nothing in the browser itself may use the network: what is seen then comes from the sheet. */
const ARGS = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

/** The browser named by CHROMIUM, else the first that is installed. */
export function browserPath() {
  const named = process.env.CHROMIUM;
  if (named && path.isAbsolute(named)) return named;
  const folders = (process.env.PATH ?? '').split(path.delimiter);
  const found = (named ? [named] : NAMES)
    .flatMap((name) => folders.map((folder) => path.join(folder, name)))
    .find((file) => existsSync(file));
  if (!found) throw new Error(`No browser: install ${named ?? NAMES.join(' or ')}, or name one in CHROMIUM.`);
  return found;
}

export function launch() {
  return chromium.launch({ executablePath: browserPath(), args: ARGS });
}

/**
 * One browser and one page for a test file. Returns a function that hands the page over as good as new:
 * the next document replaces what was done to the last one. A medium is set only where a test wants one:
 * with 'screen' set, a PDF would be printed with the rules for the screen.
 */
export function useBrowser(options = {}) {
  let browser;
  let page;
  before(async () => {
    browser = await launch();
    page = await browser.newPage(options);
  });
  after(() => browser?.close());
  return async (use, { width = 1180, height = 820, media = null, colorScheme = 'light' } = {}) => {
    page.removeAllListeners();
    await page.setViewportSize({ width, height });
    await page.emulateMedia({ media, colorScheme });
    return use(page);
  };
}

/** What people hold in the bay, at the bench and at the desk. */
export const DEVICES = {
  phone: { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true },
  'tablet upright': { viewport: { width: 820, height: 1180 }, hasTouch: true, isMobile: true },
  'tablet lying': { viewport: { width: 1180, height: 820 }, hasTouch: true, isMobile: true },
  screen: { viewport: { width: 1440, height: 900 } },
};

/**
 * One browser for a test file. Returns a function that hands over pages, each on a device of its own: what one
 * keeps the other does not see. Leaving a page never asks here; a test that wants the question listens itself.
 */
export function useDevices() {
  let browser;
  before(async () => {
    browser = await launch();
  });
  after(() => browser?.close());
  return async (devices, use) => {
    const contexts = await Promise.all(devices.map((device) => browser.newContext(device)));
    try {
      const pages = await Promise.all(contexts.map((context) => context.newPage()));
      for (const page of pages) {
        page.setDefaultTimeout(PATIENCE);
        page.on('dialog', (dialog) => dialog.accept());
      }
      return await use(...pages);
    } finally {
      await Promise.all(contexts.map((context) => context.close()));
    }
  };
}

/** What the browser complains of: its console, errors of scripts, and what the page's policy stopped. */
export function complaintsOf(page) {
  const complaints = [];
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(String(error)));
  return complaints;
}
