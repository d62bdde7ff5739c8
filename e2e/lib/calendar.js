// Calendar files, as a calendar reads them.
import assert from 'node:assert/strict';

/** The events of a calendar file, each with its properties; what no calendar takes fails. */
export function eventsOf(text) {
  assert.ok(!/[^\r]\n|\r[^\n]/.test(text), 'every line ends in CR LF');
  for (const line of text.split('\r\n'))
    assert.ok(Buffer.byteLength(line) <= 75, `${line} is longer than 75 octets`);
  // a line that begins with a space goes on from the one before
  const lines = text
    .replace(/\r\n[ \t]/g, '')
    .trimEnd()
    .split('\r\n');
  assert.deepEqual([lines[0], lines.at(-1)], ['BEGIN:VCALENDAR', 'END:VCALENDAR']);
  const events = [];
  for (const line of lines) {
    const at = line.indexOf(':');
    const [name, value] = [line.slice(0, at), line.slice(at + 1)];
    if (line === 'BEGIN:VEVENT') events.push({});
    else if (events.length > 0) events.at(-1)[name] = value.replace(/\\([,;\\])/g, '$1');
  }
  for (const event of events) {
    assert.match(event.UID, /\S/);
    assert.match(event.DTSTAMP, /^\d{8}T\d{6}Z$/);
  }
  return events;
}
