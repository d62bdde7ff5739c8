// The installed browser, and one page at a time in it.
import { existsSync } from 'node:fs';
import path from 'node:path';
import { after, before } from 'node:test';
import { chromium } from 'playwright-core';

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
