// What the binary itself writes: PDFs through the browser, nothing on a failure, names as plain text.
import assert from 'node:assert/strict';
import { mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { browserPath, useBrowser } from '../lib/browser.js';
import { BAD_CARDS, sheetsOf } from '../lib/sheets.js';
import { cardPath, fit, temporaryFolder } from '../lib/tool.js';

const withPage = useBrowser();

test('a sheet named .pdf is printed, and the golfer sheet beside it', () => {
  const folder = temporaryFolder();
  const ran = fit(cardPath('tall'), path.join(folder, 'x.pdf'), { LENGTHWISE_BROWSER: browserPath() });
  assert.equal(ran.code, 0, ran.err);
  assert.deepEqual(readdirSync(folder).sort(), ['x-golfer.pdf', 'x.pdf']);
  for (const file of readdirSync(folder)) {
    const bytes = readFileSync(path.join(folder, file));
    assert.equal(bytes.subarray(0, 4).toString('latin1'), '%PDF');
    assert.match(bytes.subarray(-16).toString('latin1'), /%%EOF\s*$/);
  }
});

test('signs of a shell in a path are signs of a name: nothing is run by them', () => {
  const folder = temporaryFolder();
  const name = '$(touch ran)&`touch ran`;';
  mkdirSync(path.join(folder, name));
  // the browser is told of a page in the temporary folder
  const env = { LENGTHWISE_BROWSER: browserPath(), TMPDIR: path.join(folder, name) };
  const ran = fit(cardPath('tall'), path.join(folder, `${name}.pdf`), env, folder);
  assert.equal(ran.code, 0, ran.err);
  assert.deepEqual(readdirSync(folder).sort(), [name, `${name}-golfer.pdf`, `${name}.pdf`].sort());
});

test('a browser that is not there: exit code 3, the variable is named, no file is left', () => {
  const folder = temporaryFolder();
  const ran = fit(cardPath('tall'), path.join(folder, 'x.pdf'), {
    LENGTHWISE_BROWSER: '/nonexistent/browser',
  });
  assert.equal(ran.code, 3);
  assert.match(ran.err, /LENGTHWISE_BROWSER/);
  assert.match(ran.err, /\/nonexistent\/browser/);
  assert.deepEqual(readdirSync(folder), []);
});

for (const card of BAD_CARDS) {
  test(`${card}: refused, no sheet is left`, () => {
    const folder = temporaryFolder();
    const ran = fit(cardPath(card), path.join(folder, 'job.html'));
    assert.notEqual(ran.code, 0);
    assert.match(ran.err, /^Error: line \d+/m);
    assert.deepEqual(readdirSync(folder), []);
  });
}

test('a name with HTML in it shows as text', async () => {
  const name = '<b>Ann & "Bo"</b>';
  const card = path.join(temporaryFolder(), 'named.toml');
  const tall = readFileSync(cardPath('tall'), 'utf8');
  const line = 'name = "Marta Lindqvist"';
  assert.ok(tall.includes(line));
  writeFileSync(card, tall.replace(line, `name = ${JSON.stringify(name)}`));
  for (const sheet of sheetsOf('named', card, name)) {
    await withPage(async (page) => {
      await page.goto(sheet.url);
      const place = sheet.kind === 'job' ? '.top p.soft' : 'h1';
      assert.ok((await page.locator(place).textContent()).startsWith(name), sheet.name);
      assert.ok((await page.title()).includes(name), sheet.name);
      assert.equal(await page.locator('b', { hasText: 'Ann' }).count(), 0);
      assert.equal(await page.locator('.top b').count(), 0);
    });
  }
});
