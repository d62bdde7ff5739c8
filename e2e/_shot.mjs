import { DEVICES, launch } from './lib/browser.js';
import { everyPage, open } from './lib/pages.js';
import { Studio } from './lib/studio.js';
const names = process.argv.slice(3);
const [filled, empty] = await Promise.all([new Studio({ isDemo: true }).open(), new Studio().open()]);
await filled.save('/house', {dates:'Deutsch'}); await filled.save('/house', {dates:'English'});
const browser = await launch();
for (const d of ['phone','tablet upright','screen']) for (const kind of await everyPage(filled, empty)) {
  if (!names.includes(kind.name)) continue;
  const c = await browser.newContext(DEVICES[d]); const page = await c.newPage();
  await open(page, kind);
  await page.evaluate(() => document.querySelectorAll('.keepbar').forEach((b) => b.style.setProperty('position','static')));
  if (kind.name==='house') { await page.getByRole('textbox',{name:'Glue cures',exact:true}).fill('36'); await page.locator('#on-example-cure-hours li').first().waitFor(); await page.getByLabel('Build to',{exact:true}).selectOption('1/16 in'); await page.locator('#on-example-round-to li').first().waitFor(); }
  if (kind.name==='target') await page.evaluate(()=>document.querySelectorAll('details').forEach(d=>{ if (/Numbers/.test(d.textContent)) d.open=true; }));
  if (kind.name==='clubs, empty' && d!=='phone') { await page.locator('#n-1-name').click(); await page.evaluate(()=>{const cd=new DataTransfer();cd.setData('text/plain',Array.from({length:8},(_,i)=>`${i+2} iron\t${38-i/2}\t${60+i/2}\t${22+4*i}\t4${i}0`).join('\n'));document.activeElement.dispatchEvent(new ClipboardEvent('paste',{clipboardData:cd,bubbles:true,cancelable:true}));}); }
  await page.screenshot({ path: `${process.argv[2]}/${kind.name.replace(/[^a-z0-9]+/g,'-')}-${DEVICES[d].viewport.width}.png`, fullPage: true });
  await c.close();
}
await browser.close(); await filled.stop(); await empty.stop();
