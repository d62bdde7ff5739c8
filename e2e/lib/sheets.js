// Both sheets of every example card that plans.
import { readdirSync } from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { cardPath, fit, golferOf, temporaryFolder } from './tool.js';

/** Cards that are meant to fail. Every other card in the folder has to plan, new ones too. */
export const BAD_CARDS = ['bad-input'];

function cards() {
  return readdirSync(path.dirname(cardPath('any')))
    .filter((file) => file.endsWith('.toml'))
    .map((file) => path.basename(file, '.toml'))
    .filter((card) => !BAD_CARDS.includes(card));
}

/** Plans a card and returns its two sheets. */
export function sheetsOf(card, file = cardPath(card), golfer = golferOf(card)) {
  const folder = temporaryFolder();
  const ran = fit(file, path.join(folder, 'job.html'));
  if (ran.code !== 0) throw new Error(`${card}: fit ended with ${ran.code}\n${ran.err}`);
  return [
    { kind: 'job', file: 'job.html' },
    { kind: 'golfer', file: 'job-golfer.html' },
  ].map((sheet) => ({
    card,
    golfer,
    kind: sheet.kind,
    name: `${card}, ${sheet.kind} sheet`,
    url: pathToFileURL(path.join(folder, sheet.file)).href,
  }));
}

export function everySheet() {
  return cards().flatMap((card) => sheetsOf(card));
}
