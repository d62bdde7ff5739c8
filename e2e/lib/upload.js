// Files as the pages' forms send them.

/** One pixel. */
const PNG = Buffer.from(
  'iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg==',
  'base64',
);

/** Posts a form with a file in it. */
function send(studio, address, fields, ...file) {
  const body = new FormData();
  for (const [name, value] of Object.entries(fields)) body.set(name, value);
  body.set(...file);
  return studio.get(address, { method: 'POST', body });
}

/** Sends a table, of clubs or of parts. */
export function sendTable(studio, address, text, name = 'table.csv') {
  return send(studio, address, {}, 'file', new Blob([text]), name);
}

/** Sends a photo of a club, with its caption; `more` behind the picture makes another file of it. */
export function sendPhoto(studio, club, fields, { name = 'a.png', more = '' } = {}) {
  return send(studio, `${club}/photo`, fields, 'photo', new Blob([PNG, more], { type: 'image/png' }), name);
}

/** Of the page that shows a table of clubs: where it is taken, and how its columns are read. */
export function matchedOn(page) {
  const columns = [...page.matchAll(/<select[^>]*name="([^"]+)".*?<option value="([^"]+)" selected/gs)];
  const [, address] = page.match(/action="([^"]*\/import\/[^"]+)"/);
  return [address, Object.fromEntries(columns.map(([, column, value]) => [column, value]))];
}
