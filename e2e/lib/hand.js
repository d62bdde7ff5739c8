// A person at a device: presses, types and reads, and never sets what a page holds by other means.

/** Two touches within 300 ms count once, so a person's next one comes later. */
const NEXT_TOUCH = 320;

export class Hand {
  #pressed = 0;

  constructor(page, { isTouch = false } = {}) {
    this.page = page;
    this.isTouch = isTouch;
  }

  /** Presses what is named: a mouse's click, or a finger's tap. */
  async press(locator) {
    await (this.isTouch ? locator.tap() : locator.click());
    this.#pressed = Date.now();
  }

  button(name, within = this.page) {
    return this.press(within.getByRole('button', { name, exact: true }));
  }

  link(name, within = this.page) {
    return this.press(within.getByRole('link', { name, exact: true }));
  }

  station(name) {
    return this.press(
      this.page.getByRole('navigation', { name: 'Stations' }).getByText(name, { exact: true }),
    );
  }

  /** Types into a field; what stood there is written over. */
  async type(field, text) {
    await this.press(field);
    await this.page.keyboard.press('Control+A');
    await this.page.keyboard.type(text);
  }

  /** Copies a block elsewhere and pastes it where the focus is. */
  async paste(rows) {
    const block = rows.map((row) => row.join('\t')).join('\n');
    if (!this.isTouch) {
      await this.page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
      await this.page.evaluate((text) => navigator.clipboard.writeText(text), block);
      await this.page.keyboard.press('Control+V');
      return;
    }
    await this.page.evaluate((text) => {
      const clipboardData = new DataTransfer();
      clipboardData.setData('text/plain', text);
      document.activeElement.dispatchEvent(
        new ClipboardEvent('paste', { clipboardData, bubbles: true, cancelable: true }),
      );
    }, block);
  }

  /** Waits until a part of the page says so. */
  async sees(locator, words) {
    await locator.filter({ hasText: words }).first().waitFor({ timeout: 5000 });
  }

  pause() {
    return this.page.waitForTimeout(Math.max(0, this.#pressed + NEXT_TOUCH - Date.now()));
  }
}

/** Sends a form and waits for what comes back: another page, or this one with what was refused. */
export async function answered(page, send) {
  const loaded = page.waitForEvent('domcontentloaded');
  const refused = page
    .waitForResponse((answer) => answer.request().method() === 'POST' && answer.status() >= 400)
    .then(() => page.waitForFunction(() => document.querySelector('main .summary, main [role="alert"], main > h1')));
  await send();
  await Promise.any([loaded, refused]).catch(({ errors }) => {
    throw new Error(`${page.url()} gave no answer: ${errors.map((error) => error.message).join('; ')}`);
  });
  // the one that did not come would end the test when it gives up
  for (const never of [loaded, refused]) never.catch(() => {});
}
