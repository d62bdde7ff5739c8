// A strike trial as a person hits it: taps on the face, and what the studio keeps of them.
import { spawnSync } from 'node:child_process';
import { measured, openFile, writtenDown } from './folder.js';
import { binary } from './tool.js';

/** Everything the studio keeps of a golfer. */
export async function dossierOf(studio, golfer) {
  const answer = await studio.get(`/api/v1${golfer}`);
  return (await answer.json()).dossier;
}

/** The balls of a visit that count, in their order. */
export async function ballsOf(studio, golfer, visit) {
  const { strikes } = await dossierOf(studio, golfer);
  return strikes
    .map((kept) => kept.record)
    .filter((mark) => !mark.removed && mark.visit === visit)
    .sort((one, other) => one.ball - other.ball);
}

/** Touches the face at a place in millimetres, as a finger does. */
export async function touch(page, { x, y }) {
  const at = await page.locator('#face').evaluate((face, place) => {
    const number = (name) => Number(face.dataset[name]);
    const point = new DOMPoint(
      number('centreX') + number('toe') * place.x * number('scale'),
      number('centreY') - place.y * number('scale'),
    ).matrixTransform(face.getScreenCTM());
    return { x: point.x, y: point.y };
  }, { x, y });
  await page.mouse.move(at.x, at.y);
  await page.mouse.down();
  await page.mouse.up();
}

/** Which letter is called, and which ball it is. */
export const called = (page) => page.locator('#letter').innerText();
export const ball = (page) => page.locator('#ball').innerText();

/** Hits a ball: a mark and a press. */
export async function hit(page, place) {
  const before = await ball(page);
  await touch(page, place);
  await page.getByRole('button', { name: 'Keep', exact: true }).click();
  await page.waitForFunction((old) => document.getElementById('ball').textContent !== old, before);
}

/** A golfer with one short visit's strikes and the code opened; returns the golfer's address. */
export async function triedOnce(studio, name) {
  const golfer = await openFile(studio, name);
  await measured(studio, golfer);
  await writtenDown(studio, golfer);
  await studio.save(`${golfer}/trial`, { club: '7 iron', spread: 'quick' });
  const places = Array.from({ length: 12 }, (_, ball) => `${(ball * 5) % 7} toe ${(ball * 3) % 5} low`).join('\n');
  await studio.save(`${golfer}/trial/strikes/many`, { visit: '1', places });
  await studio.save(`${golfer}/trial/open`, {});
  return golfer;
}

/** So many golfers more, each with the trial of one who is there: what takes a hundred golfers can be looked at. */
export async function manyLike(studio, { golfer, trials }, count) {
  const id = (kind, number) => `01a213a9-f4c5-7${kind}d1-9632-${String(number).padStart(12, '0')}`;
  for (let number = 1; number <= count; number += 1) {
    const puts = [
      { record: { kind: 'golfer', ...golfer.record, id: id(1, number), name: `Golfer ${number}` } },
      { record: { kind: 'trial', ...trials[0].record, id: id(2, number), golfer: id(1, number) } },
    ];
    const answer = await studio.get('/api/v1/changes', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify({ id: id(3, number), by: 'the fitter', sentence: 'One golfer more', puts }),
    });
    if (answer.status !== 200) throw new Error(`${answer.status}: ${await answer.text()}`);
  }
}

/** Moves a visit to another day, as if it had been hit then. */
export async function movedToDay(studio, golfer, visit, day) {
  const { strikes } = await dossierOf(studio, golfer);
  const puts = strikes
    .filter((kept) => kept.record.visit === visit && !kept.record.removed)
    .map((kept) => ({ record: { kind: 'strike', ...kept.record, day }, seen: kept.revision }));
  const id = `01a213a9-f4c5-76d1-9632-${String(visit).padStart(12, '0')}`;
  const answer = await studio.get('/api/v1/changes', {
    method: 'POST',
    headers: { 'Content-Type': 'application/json' },
    body: JSON.stringify({ id, by: 'the fitter', sentence: `Visit ${visit} was on ${day}`, puts }),
  });
  if (answer.status !== 200) throw new Error(`${answer.status}: ${await answer.text()}`);
}

/** What the command line says of a strike file. */
export function analysed(file, ...options) {
  const ran = spawnSync(binary(), ['trial', 'analyse', '-', '--json', ...options], { input: file, encoding: 'utf8' });
  return { code: ran.status, document: JSON.parse(ran.stdout) };
}

/** Marks of a golfer whose strikes follow the length: the same for every run. */
export function* marks(seed) {
  let state = seed;
  const next = () => {
    state = (state * 1103515245 + 12345) % 2147483648;
    return state / 2147483648;
  };
  for (;;) {
    const about = () => [next(), next(), next(), next()].reduce((sum, value) => sum + value, -2);
    yield { x: about() * 9, y: about() * 7 };
  }
}
