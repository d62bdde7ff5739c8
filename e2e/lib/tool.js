// The built binary, and the folders its sheets are written to.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, readdirSync, rmSync, statSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const EXAMPLES = fileURLToPath(new URL('../../examples/', import.meta.url));
/** A fixed day, so that a sheet is the same on every run. */
const DAY = '2026-11-03';
export const DAY_IN_WORDS = '3 Nov 2026';

const folders = [];
process.on('exit', () => folders.forEach((folder) => rmSync(folder, { recursive: true, force: true })));

/** A folder that goes away with the process. */
export function temporaryFolder() {
  const folder = mkdtempSync(path.join(tmpdir(), 'lengthwise-e2e-'));
  folders.push(folder);
  return folder;
}

/** The files of a folder, of its folders too, and what is in each. */
export function filesIn(folder) {
  const entries = readdirSync(folder, { recursive: true }).toSorted().map((name) => path.join(folder, name));
  return entries.filter((entry) => statSync(entry).isFile()).map((file) => [file, readFileSync(file, 'latin1')]);
}

/** The binary under test. It is never looked for: a test of some other build would mislead. */
export function binary() {
  const named = process.env.LENGTHWISE_BIN;
  if (!named) throw new Error('LENGTHWISE_BIN is not set: name the built lengthwise binary in it.');
  // npm changes folder; a relative name is meant from where the user stood
  const full = path.resolve(process.env.INIT_CWD ?? process.cwd(), named);
  if (!existsSync(full)) throw new Error(`LENGTHWISE_BIN names ${full}, which is not there.`);
  return full;
}

/** Runs a command of the program on a studio, and returns what it said. */
export function lengthwise(data, ...args) {
  return lengthwiseReads('', data, ...args);
}

/** The same with something on its standard input. */
export function lengthwiseReads(input, data, ...args) {
  const run = spawnSync(binary(), args, { encoding: 'utf8', input, env: { ...process.env, LENGTHWISE_DATA: data } });
  return { code: run.status, out: run.stdout, err: run.stderr };
}

/** Runs `lengthwise fit`, in a folder if one is named; returns its exit code and what it printed. */
export function fit(card, sheet, env = {}, folder = undefined) {
  const ran = spawnSync(binary(), ['fit', card, '--sheet', sheet, '--date', DAY], {
    encoding: 'utf8',
    env: { ...process.env, ...env },
    cwd: folder,
    timeout: 60_000,
  });
  if (ran.error) throw ran.error;
  return { code: ran.status, out: ran.stdout, err: ran.stderr };
}

export function cardPath(card) {
  return path.join(EXAMPLES, `${card}.toml`);
}

/** The golfer's name as the card has it. */
export function golferOf(card) {
  return readFileSync(cardPath(card), 'utf8').match(/^\[golfer\]\s[^]*?^name = "(.*)"$/m)[1];
}
