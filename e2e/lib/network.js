// The studio as another device reaches it: over TLS, with cookies of its own, trusting the studio's own authority.
import https from 'node:https';
import tls from 'node:tls';
import { readFileSync } from 'node:fs';
import { Studio } from './studio.js';

export const PASSPHRASE = 'seven pale herons walk';

/** A studio that is open to other devices on a port of this machine. */
export async function onTheNetwork({ passphrase = PASSPHRASE, more = [], ...place } = {}) {
  const studio = await new Studio({ ...place, more: ['--lan', '127.0.0.1:0', ...more] }).open();
  if (passphrase) await studio.save('/house/devices/passphrase', { new: passphrase });
  return studio;
}

/** Where other devices open it. */
export const lanOf = (studio) => studio.told.match(/^Other devices open (https:\S+);/m)[1];

/** A code as the laptop shows it. */
export async function codeOf(studio) {
  const answer = await studio.post('/house/devices/code', {});
  return (await answer.text()).match(/<p class="big">(\d{4}) (\d{4})<\/p>/).slice(1).join('');
}

/** The authority's certificate as the register beside the studio has it. */
export const authorityOf = (studio) =>
  JSON.parse(readFileSync(studio.file.replace(/\.db$/, '.authority'), 'utf8')).certificate_pem;

/** Something that asks over TLS and keeps its cookies, as a browser does, but without one. */
export class Caller {
  cookies = new Map();

  constructor(studio, options = {}, url = lanOf(studio)) {
    this.url = url;
    // whatever host a request names, it is this machine that must answer
    const checkServerIdentity = (_, certificate) => tls.checkServerIdentity(new URL(this.url).hostname, certificate);
    this.options = { ca: 'ca' in options ? options.ca : authorityOf(studio), checkServerIdentity, ...options };
  }

  get #cookie() {
    return [...this.cookies].map(([name, value]) => `${name}=${value}`).join('; ');
  }

  /** Follows the stream of changes. Tells the status at once; `text` is what came so far; `ended` is kept once no more comes. */
  follow() {
    return new Promise((resolve, reject) => {
      const asked = { headers: { Cookie: this.#cookie }, ...this.options, agent: false };
      const request = https.get(`${this.url}/events`, asked, (answer) => {
        const ended = new Promise((end) => answer.on('close', () => end(true)));
        const stream = { status: answer.statusCode, text: '', ended, close: () => request.destroy() };
        answer.setEncoding('utf8').on('data', (part) => (stream.text += part));
        // one that is cut off ends too
        answer.on('error', () => {});
        resolve(stream);
      });
      request.on('error', reject);
    });
  }

  /** Asks once; nothing is followed. */
  ask(address, { method = 'GET', headers = {}, body } = {}) {
    const cookie = this.#cookie;
    const sent = { Origin: this.url, Accept: 'text/html', ...(cookie && { Cookie: cookie }), ...headers };
    return new Promise((resolve, reject) => {
      const request = https.request(this.url + address, { method, headers: sent, ...this.options }, (answer) => {
        let text = '';
        answer.setEncoding('utf8').on('data', (part) => (text += part));
        answer.on('end', () => {
          for (const set of answer.headers['set-cookie'] ?? []) {
            const [, name, value, rest] = set.match(/^([^=]+)=([^;]*)(.*)$/);
            if (rest.includes('Max-Age=0')) this.cookies.delete(name);
            else this.cookies.set(name, value);
          }
          resolve({ status: answer.statusCode, headers: answer.headers, text });
        });
      });
      request.on('error', reject);
      request.end(body);
    });
  }

  post(address, fields, headers = {}) {
    const body = new URLSearchParams(fields).toString();
    return this.ask(address, {
      method: 'POST',
      headers: { 'Content-Type': 'application/x-www-form-urlencoded', ...headers },
      body,
    });
  }

  /** Comes in: the code, then the passphrase. */
  async comesIn(studio, passphrase = PASSPHRASE) {
    const paired = await this.post('/join', { code: await codeOf(studio), name: 'bay tablet' });
    if (paired.status !== 303) throw new Error(`not paired: ${paired.status}`);
    const signed = await this.post('/sign-in', { passphrase, next: '/' });
    if (signed.status !== 303) throw new Error(`not signed in: ${signed.status}`);
    return this;
  }
}
