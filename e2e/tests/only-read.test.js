// A studio that is only read, because it was asked for or because its medium takes nothing; and one on a network drive.
import assert from 'node:assert/strict';
import { spawnSync } from 'node:child_process';
import { copyFileSync, existsSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { DEVICES, useDevices } from '../lib/browser.js';
import { SmallDisk } from '../lib/disk.js';
import { measured, openFile } from '../lib/folder.js';
import { Studio } from '../lib/studio.js';
import { binary, temporaryFolder } from '../lib/tool.js';

const onDevices = useDevices();
const skip = SmallDisk.refusal();

/** A folder with a closed studio in it, with one golfer. */
async function madeIn(folder, name) {
  const studio = await new Studio({ folder }).open();
  const golfer = await openFile(studio, name);
  await measured(studio, golfer);
  assert.equal(await studio.stop(), 0);
  return golfer;
}

/** Everything is read, every entry refused in words, and every page says so. */
async function assertOnlyRead(studio, golfer, why) {
  for (const address of ['/', golfer, `${golfer}/target`, '/house', '/house/devices', '/shelf', '/help']) {
    assert.match(await studio.page(address), new RegExp(`Nothing is saved here: ${why}`), address);
  }
  for (const [address, fields] of [
    [`${golfer}/remarks`, { text: 'one more' }],
    [`${golfer}/trial/strikes`, { visit: '1', ball: '1', place: '0' }],
    ['/house', { name: 'Another' }],
    ['/undo', { of: 'x' }],
  ]) {
    const refused = await studio.post(address, fields);
    assert.equal(refused.status, 503, address);
    assert.match(await refused.text(), new RegExp(`Nothing is saved, because ${why}`), address);
  }
  const json = { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: '{}' };
  const told = await studio.get('/api/v1/changes', json);
  assert.deepEqual([told.status, (await told.json()).error.kind], [503, 'busy']);
  assert.match(await studio.page('/export.json'), /Rita Read/);
}

test('--read-only: all is read, nothing written, beside a studio that is written too', async () => {
  const folder = temporaryFolder();
  const golfer = await madeIn(folder, 'Rita Read');
  const file = path.join(folder, 'studio.db');
  const before = readFileSync(file);
  const studio = await new Studio({ folder, more: ['--read-only'] }).open();
  assert.match(studio.told, /It is only read: it was opened to be read only\./);
  await assertOnlyRead(studio, golfer, 'it was opened to be read only');
  await onDevices([DEVICES['tablet upright']], async (page) => {
    await page.goto(`${studio.url}${golfer}/measure`);
    await page.locator('#read-knuckle-height-1').fill('30');
    await page.locator('.keepbar .primary').click();
    await page.locator('#live', { hasText: 'Not saved: Nothing is saved, because' }).waitFor();
    assert.equal(await page.locator('#read-knuckle-height-1').inputValue(), '30');
  });
  assert.deepEqual(readFileSync(file), before);
  const writing = await new Studio({ folder }).open();
  await writing.save(`${golfer}/remarks`, { text: 'Written meanwhile' });
  assert.match(await studio.page(golfer), /Written meanwhile/);
  assert.equal(await studio.stop(), 0);
  assert.equal(await writing.stop(), 0);
  const none = spawnSync(binary(), ['serve', '--read-only', '--data', path.join(folder, 'none.db')], { encoding: 'utf8' });
  assert.equal(none.status, 3);
  assert.match(none.stderr, /there is no studio to be read/);
});

test('a medium that takes nothing is opened to be read by itself; commands that read work there', { skip }, async () => {
  const disk = new SmallDisk(300_000_000);
  const golfer = await madeIn(disk.folder, 'Rita Read');
  // as after a power cut: what was saved last stands in the journal
  const cut = new Studio({ folder: disk.folder });
  await cut.open();
  await cut.save(`${golfer}/remarks`, { text: 'Saved before the cut' });
  const file = path.join(disk.folder, 'studio.db');
  const left = ['studio.db', 'studio.db-wal'].map((name) => [name, readFileSync(path.join(disk.folder, name))]);
  assert.equal(await cut.stop(), 0);
  assert.ok(!existsSync(`${file}-wal`));
  disk.allowWriting(false);
  const names = readdirSync(disk.folder);
  const studio = await new Studio({ folder: disk.folder }).open();
  try {
    await assertOnlyRead(studio, golfer, 'its file or folder cannot be written');
    assert.match(await studio.page(golfer), /Saved before the cut/);
    assert.equal(await studio.stop(), 0);
    const elsewhere = temporaryFolder();
    for (const words of [['check'], ['export', path.join(elsewhere, 'all.json')], ['backup', path.join(elsewhere, 'copy.db')]]) {
      const ran = spawnSync(binary(), [words[0], '--data', file, ...words.slice(1)], { encoding: 'utf8' });
      assert.equal(ran.status, 0, `${words[0]}: ${ran.stderr}`);
    }
    assert.match(readFileSync(path.join(elsewhere, 'all.json'), 'utf8'), /Saved before the cut/);
    assert.ok(existsSync(path.join(elsewhere, 'copy.db')));
    assert.deepEqual(readdirSync(disk.folder), names, 'nothing was made there');
    // with a journal beside it, what was saved last could not be read: it is refused, and copied it opens
    disk.allowWriting(true);
    for (const [name, bytes] of left) {
      writeFileSync(path.join(disk.folder, name), bytes);
    }
    disk.allowWriting(false);
    const refused = spawnSync(binary(), ['check', '--data', file], { encoding: 'utf8' });
    assert.equal(refused.status, 3);
    assert.match(refused.stderr, /its journal lies beside it/);
    const copied = temporaryFolder();
    for (const [name] of left) copyFileSync(path.join(disk.folder, name), path.join(copied, name));
    const again = await new Studio({ folder: copied }).open();
    assert.match(await again.page(golfer), /Saved before the cut/);
    await again.stop();
  } finally {
    await studio.kill();
    disk.allowWriting(true);
    disk.remove();
  }
});

test('--allow-network-drive holds the file for one program, and says on every page where it lies', async () => {
  const folder = temporaryFolder();
  const golfer = await madeIn(folder, 'Nell Network');
  const studio = await new Studio({ folder, more: ['--allow-network-drive'] }).open();
  assert.match(await studio.page('/'), /The studio lies on a network drive\./);
  await studio.save(`${golfer}/remarks`, { text: 'Written far away' });
  const pages = await Promise.all(Array.from({ length: 12 }, () => studio.page(golfer)));
  assert.ok(pages.every((page) => page.includes('Written far away')));
  const other = spawnSync(binary(), ['check', '--data', path.join(folder, 'studio.db')], { encoding: 'utf8' });
  assert.equal(other.status, 3);
  assert.match(other.stderr, /has it open/);
  await studio.kill();
  const again = await new Studio({ folder }).open();
  assert.match(await again.page(golfer), /Written far away/);
  assert.doesNotMatch(await again.page('/'), /network drive/);
  assert.equal(await again.stop(), 0);
});
