// A studio with a past: what was done is set back in time in its file, while nobody has it open.
import { spawnSync } from 'node:child_process';

const SET_BACK = `
import sqlite3, sys
file, golfer, at = sys.argv[1:]
connection = sqlite3.connect(file)
with connection:
    print(connection.execute('UPDATE change_set SET at_ms = ? WHERE golfer_id = ?', (int(at), golfer)).rowcount)
connection.close()
`;
const python = (...words) => spawnSync('python3', words, { encoding: 'utf8' });

/** Why none can be made here; nothing where one can. */
export const NO_PAST = python('-c', 'import sqlite3').status !== 0 && 'python3 with its sqlite3 is not installed';

/** Sets everything that was done with a golfer of a closed studio back to an instant. */
export function setBack(studio, golfer, at) {
  const run = python('-c', SET_BACK, studio.file, golfer.split('/').pop(), String(at.getTime()));
  if (run.status !== 0 || Number(run.stdout) === 0) throw new Error(`nothing was set back: ${run.stdout}${run.stderr}`);
}
