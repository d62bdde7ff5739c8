// A chain of studios on the PostgreSQL server the tests were given, in a database of its own.
import { spawnSync } from 'node:child_process';
import { randomUUID } from 'node:crypto';
import { lengthwise } from './tool.js';

/** The server's address; nothing where there is none. */
export const SERVER = process.env.LENGTHWISE_TEST_POSTGRES;

/** Runs SQL as the server's owner. */
function sql(url, statement) {
  const run = spawnSync('psql', ['-v', 'ON_ERROR_STOP=1', '-d', url, '-Atc', statement], { encoding: 'utf8' });
  if (run.status !== 0) throw new Error(`psql: ${run.stderr ?? run.error}`);
  return run.stdout;
}

function done(data, ...args) {
  const said = lengthwise(data, ...args);
  if (said.code !== 0) throw new Error(`${args.join(' ')}: ${said.err}`);
  return said;
}

/** A chain of two studios, north and south, with a fitter each and an owner; the address each signs in with. */
export function newChain() {
  const mark = randomUUID().replaceAll('-', '').slice(0, 12);
  const database = `chain_${mark}`;
  sql(SERVER, `CREATE DATABASE ${database}`);
  const base = SERVER.replace(/\/[^/]*$/, `/${database}`);
  const as = (name) => base.replace(/\/\/[^@]*@/, `//${name}_${mark}@`);
  for (const name of ['anna', 'ben', 'olga']) sql(SERVER, `CREATE ROLE ${name}_${mark} LOGIN`);
  for (const studio of ['north', 'south']) done(base, 'chain', 'open', studio);
  done(base, 'chain', 'let-in', `anna_${mark}`, '--studio', 'north');
  done(base, 'chain', 'let-in', `ben_${mark}`, '--studio', 'south');
  done(base, 'chain', 'let-in', `olga_${mark}`, '--owner');
  return { base, anna: as('anna'), ben: as('ben'), olga: as('olga'), login: (name) => `${name}_${mark}` };
}
