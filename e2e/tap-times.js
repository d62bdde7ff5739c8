// How long a tap in the bay takes: until it is shown, until it is on disk, and until an open verdict page has it.
// `LENGTHWISE_BIN=target/release/lengthwise node tap-times.js`; the figures are in docs/performance.md.
import { DEVICES, launch } from './lib/browser.js';
import { measured, openFile, writtenDown } from './lib/folder.js';
import { Studio } from './lib/studio.js';
import { marks, touch } from './lib/trial.js';

const at = (times, share) => [...times].sort((one, other) => one - other)[Math.floor(share * (times.length - 1))].toFixed(0);
const said = (what, times) =>
  console.log(`${what}: median ${at(times, 0.5)} ms, 95 in 100 within ${at(times, 0.95)} ms, worst ${at(times, 1)} ms (${times.length} balls)`);

/** Presses Keep; the times, measured in the page, until the next ball is called and until the studio has taken this one. */
const kept = (page) =>
  page.evaluate(
    () =>
      new Promise((resolve) => {
        const [ball, bay] = [document.getElementById('ball'), document.getElementById('bay')];
        const [called, taken] = [ball.textContent, bay.dataset.taken];
        const begun = performance.now();
        let shown;
        const look = () => {
          if (ball.textContent !== called) shown ??= performance.now() - begun;
          if (document.getElementById('bay').dataset.taken !== taken) resolve([shown, performance.now() - begun]);
          else setTimeout(look, 1);
        };
        document.querySelector('#strike .keep').click();
        look();
      }),
  );

const studio = await new Studio().open();
const browser = await launch();
try {
  const golfer = await openFile(studio, 'Tap Times', 'right-handed');
  await measured(studio, golfer);
  await writtenDown(studio, golfer);
  await studio.save(`${golfer}/trial`, { club: '7 iron', spread: 'quick' });
  const [bay, verdict] = await Promise.all(
    [DEVICES['tablet upright'], DEVICES.screen].map(async (device) => (await browser.newContext(device)).newPage()),
  );
  const truth = marks(7);
  const [shown, saved, followed] = [[], [], []];
  for (let visit = 1; visit <= 4; visit += 1) {
    await bay.goto(`${studio.url}${golfer}/trial/visits/${visit}`);
    // the last visit is hit with the code opened and the verdict on another screen
    if (visit === 4) {
      await studio.save(`${golfer}/trial/open`, {});
      await verdict.goto(`${studio.url}${golfer}/trial/verdict`);
    }
    for (let ball = 1; ball <= 12; ball += 1) {
      await touch(bay, truth.next().value);
      const balls = (visit - 1) * 12 + ball;
      const follows =
        visit === 4 &&
        verdict.waitForFunction((text) => document.querySelector('main').innerText.includes(text), `${balls} balls on`, { polling: 2 }).then(() => performance.now());
      const begun = performance.now();
      const [called, taken] = await kept(bay);
      shown.push(called);
      saved.push(taken);
      if (follows) followed.push((await follows) - begun - taken);
    }
  }
  said('The next ball is called', shown);
  said('The ball is on disk and the page has the answer', saved);
  said('After that an open verdict page shows it', followed);
} finally {
  await browser.close();
  await studio.stop();
}
