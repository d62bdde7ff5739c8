// A table of clubs from outside: shown before anything is written, taken whole or not at all, taken back by one undo.
import assert from 'node:assert/strict';
import { randomUUID } from 'node:crypto';
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { openFile } from '../lib/folder.js';
import { useStudio, withStudio } from '../lib/studio.js';
import { lengthwise, temporaryFolder } from '../lib/tool.js';
import { matchedOn, sendTable } from '../lib/upload.js';

const studio = await useStudio();

const TABLE = [
  ['Club', 'Length', 'Note'],
  ['7 iron', '36,5', 'heel "worn"'],
  ['8 iron', '36', 'new; in its box'],
];
const quoted = (cell) => (/[",;\t]/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell);
const written = (separator, end) => TABLE.map((row) => row.map(quoted).join(separator) + end).join('');
const utf16 = (text, order) => {
  const bytes = Buffer.from(`\ufeff${text}`, 'utf16le');
  return order === 'big' ? bytes.swap16() : bytes;
};

async function lookedAt(golfer, file) {
  const answer = await sendTable(studio, `${golfer}/clubs/import`, file);
  const page = await answer.text();
  assert.equal(answer.status, 200, page.slice(0, 400));
  return page;
}

for (const [what, file] of [
  ['UTF-8 with commas', written(',', '\n')],
  ['UTF-8 with semicolons', written(';', '\r\n')],
  ['UTF-8 with tabs', written('\t', '\n')],
  ['UTF-8 behind a mark', `\ufeff${written(';', '\n')}`],
  ['UTF-16, low byte first', utf16(written('\t', '\r\n'), 'little')],
  ['UTF-16, high byte first', utf16(written(';', '\n'), 'big')],
]) {
  test(`a table in ${what} is shown as it is read, and nothing is written by that`, async () => {
    const golfer = await openFile(studio, `Tabea ${what}`);
    const before = await studio.acts();
    const page = await lookedAt(golfer, file);
    assert.match(page, /2 rows, /);
    for (const cell of TABLE.flat()) assert.ok(page.includes(`>${cell.replaceAll('"', '&quot;')}<`), cell);
    assert.deepEqual(await studio.acts(), before);
    assert.doesNotMatch(await studio.page(`${golfer}/clubs`), /7 iron/);
  });
}

test('taken, a table is one act, and one undo takes all of it back', async () => {
  const golfer = await openFile(studio, 'Taken Whole');
  const [address, columns] = matchedOn(await lookedAt(golfer, written(';', '\n')));
  await studio.save(address, columns);
  const page = await studio.page(`${golfer}/clubs`);
  for (const club of ['7 iron', '8 iron']) assert.match(page, new RegExp(`value="${club}"`));
  const [, act] = page.slice(page.indexOf('class="foot"')).match(/name="of" value="([^"]+)"/);
  await studio.save('/undo', { act: randomUUID(), of: act, back: `${golfer}/clubs` });
  assert.doesNotMatch(await studio.page(`${golfer}/clubs`), /value="[78] iron"/);
});

test('with as many kinds of table remembered as there may be, one of another kind is taken all the same', async () => {
  const folder = temporaryFolder();
  const matchings = Object.fromEntries(Array.from({ length: 200 }, (_, place) => [`2-${place}`, ['name', '']]));
  const house = { id: '00000000-0000-7000-8000-000000000001', values: {}, matchings, removed: false };
  const file = path.join(folder, 'house.json');
  writeFileSync(file, JSON.stringify({ format: 'lengthwise studio', version: 1, house, golfers: [] }));
  const brought = lengthwise(path.join(folder, 'studio.db'), 'import', file);
  assert.equal(brought.code, 0, brought.err);
  await withStudio(async (full) => {
    const golfer = await openFile(full, 'Frieda Full');
    const page = await (await sendTable(full, `${golfer}/clubs/import`, written(';', '\n'))).text();
    await full.save(...matchedOn(page));
    assert.match(await full.page(`${golfer}/clubs`), /value="8 iron"/);
  }, { folder });
});

test('with a row that cannot be read nothing is taken, and the row is named', async () => {
  const golfer = await openFile(studio, 'Taken Not');
  const [address, columns] = matchedOn(await lookedAt(golfer, 'Club,Length\n7 iron,37\n8 iron,long\n'));
  const before = await studio.acts();
  const answer = await studio.post(address, columns);
  assert.equal(answer.status, 422);
  assert.match(await answer.text(), /Nothing was taken[^]*line 3/);
  assert.deepEqual(await studio.acts(), before);
  assert.doesNotMatch(await studio.page(`${golfer}/clubs`), /value="[78] iron"/);
});
