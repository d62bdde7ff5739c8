// Pictures of every kind of page for people to look at: phone, tablet both ways and screen, light and dark.
import { mkdirSync } from 'node:fs';
import path from 'node:path';
import { DEVICES, launch } from './lib/browser.js';
import { everyPage, open } from './lib/pages.js';
import { folderForPictures } from './lib/pictures.js';
import { Studio } from './lib/studio.js';

const folder = folderForPictures(process.argv[2], 'page-shots');
mkdirSync(folder, { recursive: true });
const [filled, empty] = await Promise.all([new Studio({ isDemo: true }).open(), new Studio().open()]);
const browser = await launch();
try {
  for (const [device, options] of Object.entries(DEVICES)) {
    for (const kind of await everyPage(filled, empty)) {
      const context = await browser.newContext(options);
      const page = await context.newPage();
      await open(page, kind);
      // the picture is of the whole page: what stays at the thumb stands where it belongs
      await page.evaluate(() =>
        document.querySelectorAll('.keepbar').forEach((bar) => bar.style.setProperty('position', 'static')),
      );
      for (const colorScheme of ['light', 'dark']) {
        await page.emulateMedia({ colorScheme });
        const name = kind.name.replace(/[^a-z0-9]+/g, '-');
        await page.screenshot({
          path: path.join(folder, `${name}-${options.viewport.width}-${colorScheme}.png`),
          fullPage: true,
        });
      }
      await context.close();
    }
    console.log(`Written: ${device}`);
  }
} finally {
  await browser.close();
  await Promise.all([filled.stop(), empty.stop()]);
}
console.log(`Written to ${folder}`);
