// What axe finds in a page.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const TAGS = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];

/** Runs axe in the page, all of it or only some rules. It leaves out target size, though its tag is asked for, unless told. */
export async function findings(page, only = TAGS) {
  if (!(await page.evaluate(() => 'axe' in window))) await page.evaluate(AXE);
  return page.evaluate(async (runOnly) => {
    const result = await axe.run(document, { runOnly, rules: { 'target-size': { enabled: true } } });
    const lines = (rules) =>
      rules.flatMap((rule) => rule.nodes.map((node) => ({ rule: rule.id, html: node.html.slice(0, 120) })));
    return {
      faults: lines(result.violations),
      undecided: lines(result.incomplete),
      passed: result.passes.map((rule) => rule.id),
    };
  }, only);
}
