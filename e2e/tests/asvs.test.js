// The written pass over the ASVS: each requirement stands there once, and what it names is there.
import assert from 'node:assert/strict';
import { existsSync, readFileSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';

const ROOT = new URL('../../', import.meta.url).pathname;
const read = (file) => readFileSync(path.join(ROOT, file), 'utf8');
const document = read('docs/asvs.md');
const ids = read('docs/asvs-ids.txt')
  .split('\n')
  .filter((line) => line.startsWith('V'))
  .map((line) => line.split(' ')[0]);
/** The rows of requirements: their numbers and how they stand. */
const rows = document
  .split('\n')
  .filter((line) => line.startsWith('| V'))
  .map((line) => line.split('|').map((cell) => cell.trim()))
  .map(([, numbers, , here]) => ({ numbers: numbers.split(', '), here }));
/** Where the tests of a place stand. */
const PLACES = { suite: 'crates/store/tests/suite', laws: 'crates/exchange/tests/laws', cli: 'crates/cli/tests/cli' };

/** Everything Rust in a folder, as one text. */
function rustOf(folder) {
  const files = readdirSync(path.join(ROOT, folder), { recursive: true }).filter((file) => file.endsWith('.rs'));
  return files.map((file) => read(path.join(folder, file))).join('\n');
}

/** The titles of the tests in a text of JavaScript: what `test` is given first. */
function titlesIn(text) {
  const titles = text.matchAll(/(?<![.\w])test\(\s*(['"`])((?:\\.|(?!\1)[^\\])*)\1\s*,/g);
  return [...titles].map(([, , title]) => title.replace(/\\(.)/g, '$1'));
}

/** Whether a test of a place has this name; of one in the browser the part of its title that no other there has. */
function isThere(place, name) {
  if (!place.startsWith('e2e/')) return rustOf(PLACES[place] ?? `crates/${place}/src`).includes(`fn ${name}(`);
  const file = `e2e/tests/${place.slice(4)}.test.js`;
  return existsSync(path.join(ROOT, file)) && titlesIn(read(file)).filter((title) => title.includes(name)).length === 1;
}

/** What a row names and is not there. */
function missing(here) {
  const faults = [];
  for (const [, place, names] of here.matchAll(/`([a-z0-9/-]+)` ("[^"]+"(?:, "[^"]+")*)/g)) {
    for (const [, name] of names.matchAll(/"([^"]+)"/g)) {
      if (!isThere(place, name)) faults.push(`${place} "${name}"`);
    }
  }
  for (const [, target] of here.matchAll(/`fuzz\/(\w+)`/g)) {
    if (!existsSync(path.join(ROOT, `fuzz/targets/${target}.rs`))) faults.push(`fuzz/${target}`);
  }
  for (const [, file] of here.matchAll(/`((?:crates|fuzz|e2e)\/[\w./-]+\.\w+|Cargo\.\w+|deny\.toml)`/g)) {
    if (!existsSync(path.join(ROOT, file))) faults.push(file);
  }
  for (const [, file] of here.matchAll(/\]\(([\w./-]+)\)/g)) {
    if (!existsSync(path.join(ROOT, 'docs', file))) faults.push(file);
  }
  return faults;
}

test('each requirement of level 1 and 2 stands in the pass, once', () => {
  assert.equal(ids.length, 253);
  assert.deepEqual(rows.flatMap(({ numbers }) => numbers).toSorted(), ids.toSorted());
});

test('each line says how it stands, and each test and file it names is there', () => {
  const faults = rows.flatMap(({ numbers, here }) => {
    const stands = /^(met|otherwise|not yet|n\/a)\b/.test(here);
    return [...(stands ? [] : [`${numbers}: ${here}`]), ...missing(here).map((fault) => `${numbers}: ${fault}`)];
  });
  assert.deepEqual(faults, []);
});

test('what is not there would be seen', () => {
  assert.deepEqual(missing('met: `e2e/network` "no such test", `access` "no_such_test", "nor_this", `fuzz/none`, `crates/none.rs`'), [
    'e2e/network "no such test"',
    'access "no_such_test"',
    'access "nor_this"',
    'fuzz/none',
    'crates/none.rs',
  ]);
  // what an assertion says is no test, and what two titles have names neither
  for (const named of ['e2e/bay-tablet` "nothing is kept by the browser"', 'e2e/network` "the passphrase"']) {
    assert.deepEqual(missing(`met: \`${named}`), [named.replace('`', '')]);
  }
});
