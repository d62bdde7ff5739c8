// A small disk in memory, for a studio that runs out of room or may not write. Only on Linux, by someone who may mount.
import { spawnSync } from 'node:child_process';
import { closeSync, mkdirSync, openSync, rmSync, statfsSync, writeSync } from 'node:fs';
import path from 'node:path';
import { temporaryFolder } from './tool.js';

const run = (...words) => spawnSync(words[0], words.slice(1), { encoding: 'utf8' });
const PIECE = Buffer.alloc(1_000_000);

/** A disk of so many bytes that goes away with the process. */
export class SmallDisk {
  #filler;

  constructor(bytes) {
    this.folder = path.join(temporaryFolder(), 'disk');
    mkdirSync(this.folder);
    const mounted = run('mount', '-t', 'tmpfs', '-o', `size=${bytes},mode=0700`, 'tmpfs', this.folder);
    if (mounted.status !== 0) throw new Error(`cannot mount: ${mounted.error ?? mounted.stderr}`);
    this.#filler = path.join(this.folder, 'filler');
    process.on('exit', () => run('umount', '--lazy', this.folder));
  }

  /** Why none can be had here; nothing where one can. */
  static refusal() {
    try {
      new SmallDisk(1_000_000).remove();
      return undefined;
    } catch (error) {
      return `not run: ${error.message}`;
    }
  }

  get left() {
    const { bavail, bsize } = statfsSync(this.folder);
    return bavail * bsize;
  }

  /** Fills it until so many bytes are left; with none left, until it takes nothing more. */
  fillUntil(left) {
    const file = openSync(this.#filler, 'a');
    try {
      while (this.left > left) writeSync(file, PIECE, 0, Math.min(PIECE.length, this.left - left));
    } catch (error) {
      if (error.code !== 'ENOSPC') throw error;
    } finally {
      closeSync(file);
    }
  }

  /** Takes the filling away again. */
  makeRoom() {
    rmSync(this.#filler, { force: true });
  }

  /** Lets nothing more be written, or lets it again. */
  allowWriting(is) {
    const changed = run('mount', '-o', `remount,${is ? 'rw' : 'ro'}`, this.folder);
    if (changed.status !== 0) throw new Error(changed.stderr);
  }

  remove() {
    const removed = run('umount', this.folder);
    if (removed.status !== 0) throw new Error(removed.stderr);
  }
}
