// The live job as a page at the bench shows it.

/** Opens a job at the bench; a first touch follows, as a person's does, after a moment. */
export async function openJob(page, url) {
  await page.goto(url);
  await page.locator('#bench').waitFor();
  await page.waitForTimeout(350);
}

/** The row of a step or reading in the list, found by what it says. */
export function rowOf(page, words) {
  return page.locator('#bench li', { hasText: words }).first();
}

/** Ticks a step in the list. */
export async function tick(page, words) {
  await rowOf(page, words).getByRole('button').click();
  await page.waitForTimeout(320);
}

/** How many are ticked, once the page says that many; the page has a second to say so. */
export function sees(page, count, timeout = 5000) {
  return page
    .locator('#bench > [role="status"]', { hasText: new RegExp(`^${count} of `) })
    .waitFor({ timeout });
}

/** The steps a job has to tick, as their first words stand in the list. */
export const STEPS = ['Read it as it came', 'Slit and peel', 'Wipe the butt clean', 'Look inside the butt'];

/** What the studio has of a job: the steps that are done, and what was done with it, oldest first. */
export async function storedOf(studio, { golfer, job }) {
  const [page, told] = [await studio.page(job), await studio.page(golfer)];
  const [, done] = page.match(/(\d+) of \d+ ticked/);
  const lines = [...told.matchAll(/<li><span class="small soft">[^<]*<\/span><span>(.*?)<\/span><\/li>/g)]
    .map(([, line]) => line.replace(/<[^>]+>/g, '').replace(/\s/g, ' '))
    .reverse();
  return { done: Number(done), ticks: lines.filter((line) => /^Job \d+: /.test(line)) };
}
