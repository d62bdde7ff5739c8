// Pictures of every sheet for people to look at: tablet both ways and phone, light and dark, and as printed.
import { mkdirSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { launch } from './lib/browser.js';
import { everySheet } from './lib/sheets.js';

const REPOSITORY = fileURLToPath(new URL('..', import.meta.url));
const SIZES = [
  { width: 1180, height: 820 },
  { width: 820, height: 1180 },
  { width: 390, height: 844 },
];

/** The folder to write to: outside the repository, where nobody commits a picture by accident. */
function target(named) {
  if (!named) throw new Error('Name a folder for the pictures: npm run shots -- FOLDER');
  const folder = path.resolve(process.env.INIT_CWD ?? process.cwd(), named);
  if (!path.relative(REPOSITORY, folder).startsWith('..')) {
    throw new Error(`${folder} lies in the repository: name a folder outside it.`);
  }
  return folder;
}

const folder = target(process.argv[2]);
mkdirSync(folder, { recursive: true });
const browser = await launch();
try {
  const page = await browser.newPage();
  for (const sheet of everySheet()) {
    const file = (rest) => path.join(folder, `${sheet.card}-${sheet.kind}${rest}`);
    await page.goto(sheet.url);
    await page.evaluate(() => document.fonts.ready);
    for (const size of SIZES) {
      await page.setViewportSize(size);
      for (const colorScheme of ['light', 'dark']) {
        await page.emulateMedia({ colorScheme });
        await page.screenshot({
          path: file(`-${size.width}x${size.height}-${colorScheme}.png`),
          fullPage: true,
        });
      }
    }
    await page.pdf({ path: file('.pdf'), preferCSSPageSize: true, printBackground: false });
  }
} finally {
  await browser.close();
}
console.log(`Written to ${folder}`);
