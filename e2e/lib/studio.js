// The studio as the binary serves it: on a free port of this machine, in a folder of its own.
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import http from 'node:http';
import path from 'node:path';
import { after } from 'node:test';
import { binary, temporaryFolder } from './tool.js';

/** How long a start or a stop may take. A debug build on a busy machine is slow. */
const PATIENCE = 20_000;
/** More than the studio listens to. */
const MOUTHFUL = 400 * 1024;
/** After this the stream of changes has told what there was. */
const SILENCE = 100;

const children = new Set();
process.on('exit', () => children.forEach((child) => child.kill('SIGKILL')));

/** A studio that is served; it can be cut off as a power cut would, and opened again under the same address. */
export class Studio {
  #folder;
  #child;
  #listen = '127.0.0.1:0';
  #isDemo;
  #more;
  #under;
  #data;
  #env;
  /** What it has written to standard output and standard error. */
  told = '';

  constructor({ isDemo = false, more = [], under = [], folder = temporaryFolder(), data = undefined, env = {} } = {}) {
    this.#data = data;
    this.#env = env;
    this.#folder = folder;
    this.#under = under;
    this.#isDemo = isDemo;
    this.#more = more;
  }

  /** The file the studio lies in; the demo's lies elsewhere. */
  get file() {
    return path.join(this.#folder, 'studio.db');
  }

  async open() {
    const kind = this.#isDemo ? ['demo', '--out', this.#folder] : ['serve', '--data', this.#data ?? this.file];
    const [program, ...given] = [...this.#under, binary(), ...kind, '--listen', this.#listen, ...this.#more];
    const child = spawn(program, given, { stdio: ['ignore', 'pipe', 'pipe'], env: { ...process.env, ...this.#env } });
    this.#child = child;
    children.add(child);
    for (const stream of [child.stdout, child.stderr]) stream.on('data', (text) => (this.told += text));
    child.on('exit', () => children.delete(child));
    this.url = await new Promise((resolve, reject) => {
      let [out, err] = ['', ''];
      const late = setTimeout(
        () => reject(new Error(`not open after ${PATIENCE} ms\n${out}${err}`)),
        PATIENCE,
      );
      child.stderr.on('data', (text) => (err += text));
      child.stdout.on('data', (text) => {
        out += text;
        const [, url] = out.match(/^The studio is open at (\S+)$/m) ?? [];
        // the last line: what stands between, for other devices and of other studios of a chain, is told by then
        if (!url || !/^It lies in .*Ctrl\+C\.\n$/m.test(out)) return;
        clearTimeout(late);
        resolve(url);
      });
      child.on('exit', (code) => {
        clearTimeout(late);
        reject(new Error(`ended with ${code}\n${out}${err}`));
      });
    });
    // opened again, it stands under the same address
    this.#listen = new URL(this.url).host;
    return this;
  }

  /** Ends it as Ctrl+C does, and returns the exit code. */
  stop() {
    return this.#end('SIGTERM');
  }

  /** Ends it as a power cut does. */
  kill() {
    return this.#end('SIGKILL');
  }

  /** Lets it neither hear nor answer for a while, its connections open, as a machine that sleeps. */
  holdStill() {
    this.#child.kill('SIGSTOP');
  }

  goOn() {
    this.#child.kill('SIGCONT');
  }

  /** Where each studio is open, by its name: of a chain there are several. */
  get studios() {
    const told = /^The studio is open at (\S+)\nIt lies in \S+\?studio=(\S+)\. Stop/gm;
    return Object.fromEntries([...this.told.matchAll(told)].map(([, url, name]) => [name, url]));
  }

  async #end(signal) {
    const child = this.#child;
    if (child.exitCode !== null || child.signalCode !== null) return child.exitCode;
    const ended = once(child, 'exit', { signal: AbortSignal.timeout(PATIENCE) });
    child.kill(signal);
    const [code] = await ended;
    return code;
  }

  /** Asks for an address; a redirect is an answer. */
  get(address, init = {}) {
    return fetch(this.url + address, { redirect: 'manual', ...init });
  }

  /** Posts a form as a page without script does. */
  post(address, fields, init = {}) {
    return this.get(address, { method: 'POST', body: new URLSearchParams(fields), ...init });
  }

  /** Asks as no browser would, with any header. Of a long body only as much is sent as the studio listens to. */
  ask(address, { method = 'GET', headers = {}, body = '' } = {}) {
    const form = {
      'Content-Type': 'application/x-www-form-urlencoded',
      'Content-Length': Buffer.byteLength(body),
    };
    return new Promise((resolve, reject) => {
      const options = {
        method,
        path: address,
        headers: method === 'GET' ? headers : { ...form, ...headers },
        agent: false,
      };
      const request = http.request(this.url, options, (answer) => {
        clearTimeout(rest);
        let text = '';
        answer.setEncoding('utf8').on('data', (part) => (text += part));
        answer.on('end', () => {
          resolve({ status: answer.statusCode, headers: answer.headers, text });
          request.destroy();
        });
      });
      request.on('error', reject);
      request.write(body.slice(0, MOUTHFUL));
      const rest = setTimeout(() => request.end(body.slice(MOUTHFUL)), body.length > MOUTHFUL ? PATIENCE : 0);
    });
  }

  /** The text of a page that has to be there. */
  async page(address) {
    const answer = await this.get(address);
    const text = await answer.text();
    if (answer.status !== 200) throw new Error(`${address}: ${answer.status}\n${text.slice(0, 400)}`);
    return text;
  }

  /** The number of every act so far, as the stream of changes tells them to a page that saw none. */
  async acts() {
    const quiet = new AbortController();
    const { body } = await this.get('/events', { headers: { 'Last-Event-ID': '0' }, signal: quiet.signal });
    let told = '';
    let timer = setTimeout(() => quiet.abort(), PATIENCE);
    try {
      for await (const chunk of body.pipeThrough(new TextDecoderStream())) {
        told += chunk;
        clearTimeout(timer);
        // before the first act is told the studio may be busy with others
        timer = setTimeout(() => quiet.abort(), /^id:/m.test(told) ? SILENCE : 20 * SILENCE);
      }
    } catch (error) {
      if (!quiet.signal.aborted) throw error;
    }
    return [...told.matchAll(/^id: ?(\d+)$/gm)].map(([, id]) => Number(id));
  }

  /** Posts a form that has to be taken, and returns where it leads. */
  async save(address, fields) {
    const answer = await this.post(address, fields);
    if (answer.status !== 303) {
      throw new Error(`${address}: ${answer.status}\n${(await answer.text()).slice(0, 2000)}`);
    }
    return answer.headers.get('location');
  }
}

/** A studio of its own for a test that stops or breaks it. */
export async function withStudio(use, options = {}) {
  const studio = await new Studio(options).open();
  try {
    await use(studio);
  } finally {
    await studio.kill();
  }
}

/** A studio for a test file: an empty one, the invented one, or the demo. It is open before the first test is named. */
export async function useStudio({ isFilled = false, ...rest } = {}) {
  const studio = new Studio(rest);
  after(() => studio.stop());
  await studio.open();
  if (isFilled) await studio.save('/example', {});
  return studio;
}
