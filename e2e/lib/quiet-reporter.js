// Tells a line a file while the tests run, then what failed with its reason: at the end, where it is looked for.
import path from 'node:path';

export default async function* quietly(events) {
  const failed = [];
  const counts = new Map();
  for await (const { type, data } of events) {
    if (type !== 'test:pass' && type !== 'test:fail') continue;
    const file = path.basename(data.file ?? '');
    // a file is told as a test of its own beside those in it
    if (data.name === data.file || data.details?.type === 'suite') continue;
    const count = counts.get(file) ?? { passed: 0, failed: 0 };
    counts.set(file, count);
    if (type === 'test:pass') {
      count.passed += 1;
      if (data.skip || data.todo) yield `not run: ${file}: ${data.name}\n`;
    } else {
      count.failed += 1;
      failed.push({ file, ...data });
      yield `FAILED: ${file}: ${data.name}\n`;
    }
  }
  for (const [file, count] of counts) yield `${file}: ${count.passed} passed, ${count.failed} failed\n`;
  for (const { file, name, details } of failed) {
    const error = details.error?.cause ?? details.error;
    yield `\nFAILED: ${file}: ${name}\n${error?.stack ?? error}\n`;
  }
}
