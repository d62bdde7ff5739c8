// A real reverse proxy before the studio, with the settings docs/studio.md gives; it speaks TLS on a port of this machine.
import { execFileSync, spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import net from 'node:net';
import path from 'node:path';
import { temporaryFolder } from './tool.js';

/** The name devices open the studio under. */
export const NAME = 'studio.example';

/** Whether a program is installed. */
function has(program, ...asked) {
  try {
    execFileSync(program, asked, { stdio: 'ignore' });
    return true;
  } catch {
    return false;
  }
}

/** Why there is no proxy to try; nothing when there is one. Only Linux has several addresses for this machine. */
export const NO_PROXY =
  (process.platform !== 'linux' && 'this is not Linux') ||
  (!has('nginx', '-v') && 'nginx is not installed') ||
  (!has('openssl', 'version') && 'openssl is not installed');

/** A port that nobody has now. */
export async function freePort() {
  const server = net.createServer().listen(0, '127.0.0.1');
  await once(server, 'listening');
  const { port } = server.address();
  server.close();
  await once(server, 'close');
  return port;
}

/** The settings as the guide has them, for these ports and this certificate. */
function settings(folder, port, studioPort) {
  const guide = readFileSync(new URL('../../docs/studio.md', import.meta.url), 'utf8');
  const [, block] = guide.match(/```nginx\n([\s\S]*?)```/);
  const put = (text, from, to) => {
    if (!text.includes(from)) throw new Error(`docs/studio.md says no more: ${from}`);
    return text.replaceAll(from, to);
  };
  const server = [
    ['listen 443 ', `listen 127.0.0.1:${port} `],
    ['127.0.0.1:7743', `127.0.0.1:${studioPort}`],
    ['/etc/ssl/studio.example.pem', `${folder}/certificate.pem`],
    ['/etc/ssl/studio.example.key', `${folder}/key.pem`],
  ].reduce((text, [from, to]) => put(text, from, to), block);
  const places = ['client_body', 'proxy', 'fastcgi', 'uwsgi', 'scgi'].map((what) => {
    mkdirSync(path.join(folder, what));
    return `${what}_temp_path ${folder}/${what};`;
  });
  return `daemon off;
${process.getuid() === 0 ? 'user root;' : ''}
pid ${folder}/pid;
error_log ${folder}/error.log;
events {}
http {
access_log off;
${places.join('\n')}
${server}
}
`;
}

/** The proxy, which runs until it is stopped. */
export class Proxy {
  #child;

  /** Opens it before a studio that listens to it on a port. */
  async open(studioPort) {
    const folder = temporaryFolder();
    const key = ['-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes', '-days', '2', '-subj', `/CN=${NAME}`];
    const files = ['-keyout', `${folder}/key.pem`, '-out', `${folder}/certificate.pem`];
    execFileSync('openssl', ['req', '-x509', ...key, '-addext', `subjectAltName=DNS:${NAME}`, ...files], { stdio: 'ignore' });
    this.certificate = readFileSync(`${folder}/certificate.pem`, 'utf8');
    this.port = await freePort();
    writeFileSync(`${folder}/nginx.conf`, settings(folder, this.port, studioPort));
    this.#child = spawn('nginx', ['-p', folder, '-e', `${folder}/error.log`, '-c', `${folder}/nginx.conf`], { stdio: ['ignore', 'ignore', 'pipe'] });
    let told = '';
    this.#child.stderr.on('data', (text) => (told += text));
    for (let tries = 0; tries < 100; tries += 1) {
      if (this.#child.exitCode !== null) throw new Error(`the proxy ended: ${told}`);
      if (await this.#listens()) return this;
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
    throw new Error(`the proxy does not listen: ${told}`);
  }

  #listens() {
    return new Promise((resolve) => {
      const socket = net.connect(this.port, '127.0.0.1', () => resolve(true));
      socket.on('connect', () => socket.destroy()).on('error', () => resolve(false));
    });
  }

  async stop() {
    if (this.#child.exitCode !== null) return;
    const ended = once(this.#child, 'exit');
    this.#child.kill('SIGTERM');
    await ended;
  }
}
