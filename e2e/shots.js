// Pictures of every sheet for people to look at: tablet both ways and phone, light and dark, and as printed.
import { mkdirSync } from 'node:fs';
import path from 'node:path';
import { launch } from './lib/browser.js';
import { folderForPictures } from './lib/pictures.js';
import { everySheet } from './lib/sheets.js';

const SIZES = [
  { width: 1180, height: 820 },
  { width: 820, height: 1180 },
  { width: 390, height: 844 },
];

const folder = folderForPictures(process.argv[2], 'shots');
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
