// What cannot be meant is refused with what was expected and found, stays as typed, and breaks nothing.
import assert from 'node:assert/strict';
import { mkdirSync, readdirSync } from 'node:fs';
import path from 'node:path';
import { test } from 'node:test';
import { DEVICES, complaintsOf, useDevices } from '../lib/browser.js';
import { measured, onTheBench, openFile, writtenDown } from '../lib/folder.js';
import { clubOf } from '../lib/pages.js';
import { useStudio, withStudio } from '../lib/studio.js';
import { temporaryFolder } from '../lib/tool.js';
import { matchedOn, sendPhoto, sendTable } from '../lib/upload.js';

const onDevices = useDevices();
const studio = await useStudio();
const HUGE = 5 * 1024 * 1024;

/** Asks a page for its text, whatever it answers. */
async function answerTo(address, fields) {
  const answer = await studio.post(address, fields);
  return { status: answer.status, text: await answer.text() };
}

/** The words of a page, as they are read. */
function wordsOf(html) {
  const entities = { '&lt;': '<', '&gt;': '>', '&amp;': '&', '&quot;': '"', '&#39;': "'" };
  return html
    .replace(/<[^>]+>/g, ' ')
    .replace(/&(lt|gt|amp|quot|#39);/g, (entity) => entities[entity])
    .replace(/\s+/g, ' ');
}

// ---- Readings --------------------------------------------------------------------------------------------

/** Typed as a knuckle height in inches: what has to be said of it. */
const READINGS = [
  ['750', /750/, 'a number of millimetres without its unit'],
  ['84', /84/, 'a number of centimetres without its unit'],
  ['1,234 mm', /1234 mm.*1\.234 mm|1\.234 mm.*1234 mm/, 'a comma that can be read two ways'],
  ['33 1/', /33 1\//, 'a fraction without its end'],
  ['33 4/0', /33 4\/0/, 'a fraction of nothing'],
  ['33 1/4 1/8', /33 1\/4 1\/8/, 'two fractions'],
  ['5-3 mm', /5-3 mm/, 'a sum'],
  ['-29', /-29/, 'less than nothing'],
  ['0', /"?0"?/, 'nothing'],
  ['thirty', /thirty/, 'a word'],
  ['NaN', /NaN/, 'not a number'],
  ['Infinity', /Infinity/, 'no end'],
  ['1e400', /1e400/, 'more than any number'],
  ['29 cubits', /cubits/, 'a unit nobody has'],
  ['29 in 3', /29 in 3/, 'something after the unit'],
  ['<img src=x onerror=1>', /<img src=x onerror=1>/, 'a tag'],
  ["29'; DROP TABLE reading;--", /DROP TABLE/, 'a command'],
];

for (const [typed, words, what] of READINGS) {
  test(`${what} is no knuckle height: refused, and still in the field`, async () => {
    const golfer = await openFile(studio, `Ruth ${what}`);
    await onDevices([DEVICES.screen], async (page) => {
      const complaints = complaintsOf(page);
      await page.goto(`${studio.url}${golfer}/measure`);
      await page.locator('#read-knuckle-height-1').fill(typed);
      const [answer] = await Promise.all([
        page.waitForResponse(
          (response) => response.url().endsWith('/measure') && response.request().method() === 'POST',
        ),
        page.getByRole('button', { name: 'Save the readings' }).click(),
      ]);
      await page.locator('.summary').waitFor();
      assert.equal(answer.status(), 422);
      // the same words at the field and in the summary, and the focus on the summary
      const said = (await page.locator('.summary li').allInnerTexts()).map((text) =>
        text.replace(/\s/g, ' '),
      );
      assert.equal(said.length, 1);
      assert.match(said[0], words);
      assert.match(said[0], /^Knuckle height: /);
      const field = page.locator('#read-knuckle-height-1');
      assert.equal((await page.locator('.reading .problem').innerText()).replace(/\s/g, ' '), said[0]);
      assert.equal(await field.getAttribute('aria-invalid'), 'true');
      assert.equal(await field.inputValue(), typed);
      assert.ok(await page.locator('.summary').evaluate((summary) => summary === document.activeElement));
      // the link of the summary leads to the field
      await page.locator('.summary a').click();
      assert.ok(await field.evaluate((element) => element === document.activeElement));
      assert.equal(await page.locator('.taken').count(), 0);
      assert.deepEqual(
        complaints.filter((complaint) => !complaint.includes('status of 422')),
        [],
      );
    });
  });
}

test('what is refused is tied to the field that it is about', async () => {
  const golfer = await openFile(studio, 'Tilda Tied');
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(`${studio.url}${golfer}/measure`);
    await page.locator('#read-knuckle-height-1').fill('33 1/');
    await page.getByRole('button', { name: 'Save the readings' }).click();
    await page.locator('.summary').waitFor();
    const described = await page.locator('#read-knuckle-height-1').evaluate((field) =>
      (field.getAttribute('aria-describedby') ?? '')
        .split(' ')
        .map((id) => document.getElementById(id)?.textContent ?? '')
        .join(' '),
    );
    assert.match(described, /33 1\//);
  });
});

test('what can be read is saved beside what is refused', async () => {
  const golfer = await openFile(studio, 'Bea Beside');
  const fields = {
    shoes: 'on',
    'read.knuckle_height.1': '31 1/8',
    'read.stature.1': 'tall',
    'read.head_speed.1': '78 mph',
  };
  const { status, text } = await answerTo(`${golfer}/measure`, fields);
  assert.equal(status, 422);
  assert.match(wordsOf(text), /Stature: .*tall/);
  const again = await studio.page(`${golfer}/measure`);
  assert.match(wordsOf(again), /31 1\/8.*78 mph/);
});

test('a title says first that there is a problem', async () => {
  const golfer = await openFile(studio, 'Eve Error');
  const refused = [
    ['/golfers', { name: ' ', plays: 'right-handed' }],
    ['/house', { cure_hours: 'soon' }],
    [`${golfer}/measure`, { 'read.knuckle_height.1': 'tall' }],
    [`${golfer}/clubs`, { 'n.1.name': 'tennis racket' }],
    [`${golfer}/file`, { name: 'Eve', plays: 'right-handed', born: 'long ago' }],
    [`${golfer}/follow-up`, { due: 'soon', what: '' }],
  ];
  const titles = [];
  for (const [address, fields] of refused) {
    const { status, text } = await answerTo(address, fields);
    assert.equal(status, 422, address);
    titles.push([address, text.match(/<title>(.*?)<\/title>/)[1]]);
  }
  assert.deepEqual(
    titles.filter(([, title]) => !title.startsWith('Error: ')),
    [],
  );
});

test('a page that saved nothing does not say that something was saved', async () => {
  const golfer = await openFile(studio, 'Nora Nothing');
  const refused = [
    ['/golfers', { name: ' ', plays: 'right-handed' }],
    ['/house', { cure_hours: 'soon' }],
    [`${golfer}/file`, { name: 'Nora', plays: 'right-handed', contact: 'by post', born: 'long ago' }],
    [`${golfer}/follow-up`, { due: 'soon', what: 'the lie' }],
  ];
  const wrong = [];
  for (const [address, fields] of refused) {
    const { text } = await answerTo(address, fields);
    if (/could be read was saved/.test(text)) wrong.push(address);
  }
  assert.deepEqual(wrong, []);
  assert.ok(!(await studio.page(golfer)).includes('by post'));
});

// ---- Clubs -----------------------------------------------------------------------------------------------

test('refused cells stay as typed, the others of the table are saved', async () => {
  const golfer = await openFile(studio, 'Cato Cells');
  await writtenDown(studio, golfer);
  await onDevices([DEVICES.screen], async (page) => {
    await page.goto(`${studio.url}${golfer}/clubs`);
    const cell = (club, label) => page.getByLabel(`${label} of ${club}`, { exact: true });
    await cell('7 iron', 'Length').fill('37,125 in');
    await cell('7 iron', 'Mass').fill('430 g');
    await cell('8 iron', 'Lie').fill('flat');
    await cell('8 iron', 'Swingweight').fill('Z9');
    await page.locator('#n-1-name').fill('tennis racket');
    await page.locator('#n-1-length').fill('27');
    await page.getByRole('button', { name: 'Save the clubs' }).click();
    await page.locator('.summary').waitFor();
    assert.equal(await page.locator('.summary li').count(), 4);
    assert.equal(await cell('7 iron', 'Length').inputValue(), '37,125 in');
    assert.equal(await cell('8 iron', 'Lie').inputValue(), 'flat');
    assert.equal(await cell('8 iron', 'Swingweight').inputValue(), 'Z9');
    assert.deepEqual(
      [await page.locator('#n-1-name').inputValue(), await page.locator('#n-1-length').inputValue()],
      ['tennis racket', '27'],
    );
    await page.goto(`${studio.url}${golfer}/clubs`);
    assert.equal(await cell('7 iron', 'Length').inputValue(), '36 3/4');
    assert.equal(await cell('7 iron', 'Mass').inputValue(), '430');
    assert.equal(await page.locator('.cells [aria-label^="Length of"]').count(), 2 + 14);
  });
});

// ---- The other forms: what was typed is on the page -------------------------------------------------------

const FILE = { name: 'Uta', plays: 'left-handed', contact: 'by post' };
for (const [what, address, fields, said] of [
  ['a day of birth', 'file', { ...FILE, born: 'in spring' }, /Born: .*in spring/],
  ['a day that is not in the calendar', 'file', { ...FILE, born: '1990-02-31' }, /Born: .*1990-02-31/],
  [
    'consent without who gave it',
    'file',
    { ...FILE, 'consent-day': '2026-01-02' },
    /Who agreed: expected who, when and how/,
  ],
  ['a name that is too long', 'file', { ...FILE, name: 'U'.repeat(121) }, /Name: .*up to 120.*found 121/],
  [
    'a day to see again',
    'follow-up',
    { due: 'when it rains', what: 'the lie' },
    /Day to see again: .*when it rains/,
  ],
]) {
  test(`${what}: refused, and all that was typed is still on the page`, async () => {
    const golfer = await openFile(studio, 'Uta Typed');
    const { status, text } = await answerTo(`${golfer}/${address}`, { ...fields });
    assert.equal(status, 422);
    assert.match(text, /class="summary"/);
    for (const typed of Object.values(fields)) {
      assert.ok(text.includes(`value="${typed}"`), `${typed.slice(0, 40)} is not on the page`);
    }
    assert.match(wordsOf(text), said);
  });
}

for (const [what, address, field, typed] of [
  ['a remark that is too long', 'remarks', 'text', 'x'.repeat(4001)],
  ['a remark with signs that cannot be shown', 'remarks', 'text', 'before \u0007 after'],
]) {
  test(`${what}: refused, and it is still on the page`, async () => {
    const golfer = await openFile(studio, 'Remy Remark');
    const { status, text } = await answerTo(`${golfer}/${address}`, { [field]: typed });
    assert.equal(status, 422);
    assert.ok(text.includes(typed.slice(0, 7)), 'what was typed is gone');
  });
}

test('a day is taken as it is shown, and as it is spoken', async () => {
  const golfer = await openFile(studio, 'Dora Day');
  const taken = [];
  for (const due of ['2027-01-08', '8 1 2027', '8 Jan 2027', '8 January 2027']) {
    const { status } = await answerTo(`${golfer}/follow-up`, { due, what: '' });
    taken.push([due, status]);
  }
  assert.deepEqual(
    taken.filter(([, status]) => status !== 303),
    [],
  );
});

test('a setting the house cannot have is refused, and stays as typed', async () => {
  for (const [key, typed] of [
    ['round_to', '1/3 in'],
    ['cure_hours', '-1'],
    ['most_extension', '9 in'],
    ['units', 'cubits'],
    ['follow_up_after', 'never'],
    ['hold', '<b>balance</b>'],
    ['tip_weights', "2 g'; DROP TABLE house;--"],
  ]) {
    const { status, text } = await answerTo('/house', { [key]: typed });
    assert.equal(status, 422, key);
    const escaped = typed
      .replaceAll('&', '&amp;')
      .replaceAll('<', '&lt;')
      .replaceAll('>', '&gt;')
      .replaceAll('"', '&quot;');
    const isAsTyped = [`name="${key}" value="${escaped}"`, `<option value="${escaped}" selected>`];
    assert.ok(isAsTyped.some((field) => text.includes(field)), `${key} is not as typed`);
    assert.ok(!(await studio.page('/house')).includes(`value="${escaped}"`), `${key} was saved`);
  }
});

// ---- Too much, and the wrong kind -------------------------------------------------------------------------

test('a text of 5 MB is refused at once with its limit, and the studio goes on', async () => {
  const { golfer, job } = await onTheBench(studio, 'Max Most');
  const long = 'x'.repeat(HUGE);
  for (const [address, field] of [
    ['/golfers', 'name'],
    [`${golfer}/file`, 'contact'],
    [`${golfer}/measure`, 'read.knuckle_height.1'],
    [`${golfer}/measure/now`, 'read.knuckle_height.1'],
    [`${golfer}/clubs`, 'n.1.name'],
    [`${golfer}/remarks`, 'text'],
    [`${golfer}/follow-up`, 'what'],
    [`${job}/tick`, 'typed'],
    [`${job}/move`, 'note'],
    ['/house', 'name'],
  ]) {
    const body = new URLSearchParams({ plays: 'right-handed', [field]: long }).toString();
    const { status, text } = await studio.ask(address, { method: 'POST', body });
    assert.equal(status, 413, address);
    assert.match(wordsOf(text), /at most 256 kB/);
  }
  assert.equal((await studio.get('/')).status, 200);
});

test('5 MB pasted into a field: the page says so, and what was typed elsewhere is not lost', async () => {
  const golfer = await openFile(studio, 'Petra Paste');
  await onDevices([DEVICES.screen], async (page) => {
    const errors = [];
    page.on('pageerror', (error) => errors.push(String(error)));
    await page.goto(`${studio.url}${golfer}/measure`);
    await page.locator('#read-stature-1').fill('73');
    await page.locator('#read-knuckle-height-1').evaluate((field, size) => {
      field.value = 'x'.repeat(size);
      field.dispatchEvent(new Event('input', { bubbles: true }));
    }, HUGE);
    await page.waitForTimeout(500);
    assert.equal(await page.locator('#read-stature-1').inputValue(), '73');
    await page.getByRole('button', { name: 'Save the readings' }).click();
    await page.locator('h1', { hasText: 'at most 256 kB' }).waitFor();
    assert.deepEqual(errors, []);
  });
});

// ---- Script and commands in every field -------------------------------------------------------------------

const TAG = '<img src=x onerror=document.title="hit">';
const SCRIPT = `"'><script>document.title='hit'</script>`;
const COMMAND = `Robert'); DROP TABLE golfer;--`;

/** Everything a person can type, sent with the same text in it; what a field refuses is seen on the refusal. */
async function sendEverywhere(golfer, job, text) {
  const clubs = await studio.page(`${golfer}/clubs`);
  const [, club] = clubs.match(/href="([^"]+)" aria-label="More of/);
  const row = clubs.match(/name="(c\.[^"]*)\.was"/)[1];
  const forms = [
    [
      `${golfer}/file`,
      {
        name: text,
        plays: 'right-handed',
        contact: text,
        'consent-by': text,
        'consent-day': '2026-01-02',
        'consent-how': text,
      },
    ],
    [`${golfer}/file`, { name: text, plays: text, sex: text, born: text, contact: text }],
    [`${golfer}/remarks`, { text }],
    [`${golfer}/remarks`, { text, health: 'yes', by: text }],
    [`${golfer}/measure`, { shoes: text, 'read.knuckle_height.1': text, instrument: text, overruled: text }],
    [
      `${golfer}/measure`,
      { shoes: 'on', 'read.knuckle_height.1': '31', instrument: text, overruled: text, by: text },
    ],
    [`${golfer}/measure/now`, { 'read.knuckle_height.1': text }],
    [
      `${golfer}/clubs`,
      {
        [`${row}.name`]: text,
        [`${row}.length`]: text,
        [`${row}.mass`]: text,
        'n.1.name': text,
        'n.1.lie': text,
      },
    ],
    [club, { [`${row}.name`]: text, way: text, [`${row}.shaft.material`]: text }],
    [`${golfer}/target`, { hold: text }],
    [`${golfer}/target`, { club: text, way: text }],
    [`${golfer}/follow-up`, { due: text, what: text }],
    [`${golfer}/follow-up`, { due: '2027-01-08', what: text }],
    [`${job}/tick`, { step: text, typed: text }],
    [`${job}/tick`, { step: '0.0', typed: text, done: 'yes', by: text }],
    [`${job}/tick`, { step: '7 iron: mass', typed: text, done: 'yes' }],
    [`${job}/move`, { to: text, note: text }],
    [`${job}/move`, { to: 'curing', note: text }],
    ['/house', { name: text }],
    ['/house', { address: text }],
    ['/house', { fitter: text }],
    ['/house', { cure_hours: text }],
    ['/golfers', { name: text, plays: text }],
    ['/undo', { act: text, of: text, back: text }],
  ];
  const pages = [];
  for (const [address, fields] of forms) {
    const { status, text: html } = await answerTo(address, fields);
    assert.ok([200, 303, 404, 422].includes(status), `${address}: ${status} to ${JSON.stringify(fields)}`);
    pages.push([`POST ${address}`, html]);
  }
  for (const address of [
    '/',
    `/?q=${encodeURIComponent(text)}`,
    `/search?q=${encodeURIComponent(text)}`,
    '/house',
    golfer,
    ...['file', 'measure', 'clubs', 'target', 'trial', 'job', 'follow-up'].map(
      (station) => `${golfer}/${station}`,
    ),
    club,
    job,
    `${job}/sheet`,
    `${job}/golfers-sheet`,
  ]) {
    pages.push([address, await studio.page(address)]);
  }
  return pages;
}

for (const [what, text] of [
  ['a tag', TAG],
  ['a script', SCRIPT],
  ['a command', COMMAND],
]) {
  test(`${what} in every field is text on every page`, async () => {
    const { golfer, job } = await onTheBench(studio, 'Sally Script');
    const pages = await sendEverywhere(golfer, job, text);
    // no page has it as anything but text: a sign that opens a tag is always written out
    const raw = pages.filter(
      ([, html]) => html.includes('<img src=x') || html.includes('<script>document.title'),
    );
    assert.deepEqual(
      raw.map(([address]) => address),
      [],
    );
    await onDevices([DEVICES.screen], async (page) => {
      const complaints = complaintsOf(page);
      for (const [address] of pages.filter(([of]) => of.startsWith('/') && !of.startsWith('/search'))) {
        await page.goto(studio.url + address);
        assert.notEqual(await page.title(), 'hit', address);
        assert.equal(await page.locator('img[src="x"]').count(), 0, address);
      }
      // it is found by it, and shows it whole
      await page.goto(studio.url);
      await page.getByLabel('Find a golfer').fill(text.slice(0, 20));
      await page.locator('.hits b', { hasText: text }).first().waitFor();
      await page.goto(studio.url + golfer);
      assert.equal(await page.locator('h1').innerText(), text);
      assert.deepEqual(
        complaints.filter((complaint) => !complaint.includes('status of 404')),
        [],
      );
    });
    assert.equal((await studio.get('/')).status, 200);
  });
}

test('a golfer named by a tag is on the sheets, in the calendar and on the card as it was typed', async () => {
  const name = '<img src=x onerror=1>';
  const golfer = await openFile(studio, name);
  await measured(studio, golfer);
  await writtenDown(studio, golfer);
  const job = await studio.save(`${golfer}/job`, {});
  await studio.save(`${golfer}/follow-up`, { due: '2027-01-08', what: name });
  await onDevices([DEVICES.screen], async (page) => {
    const complaints = complaintsOf(page);
    for (const [address, place] of [
      [golfer, 'h1'],
      [`${golfer}/measure`, '.who a'],
      [`${job}/sheet`, '.top'],
      [`${job}/golfers-sheet`, 'main'],
    ]) {
      await page.goto(studio.url + address);
      assert.ok((await page.locator(place).first().innerText()).includes(name), address);
      assert.ok((await page.title()).includes(name), address);
      assert.equal(await page.locator('img').count(), 0, address);
    }
    assert.deepEqual(
      complaints.filter((complaint) => !complaint.includes('status of 404')),
      [],
    );
  });
  assert.ok((await studio.page(`${golfer}/card`)).includes(JSON.stringify(name)));
  assert.ok(
    (await studio.page(`${golfer}/follow-up.ics`))
      .replace(/\r\n /g, '')
      .includes(`SUMMARY:See ${name} again`),
  );
});

test('the name of a file that is sent is no markup on any page and no path in any folder', async () => {
  const NAME = '<img src=x onerror=1>../../x.csv';
  const above = temporaryFolder();
  const [folder, temporary] = ['a/b', 'temporary'].map((name) => path.join(above, name));
  for (const each of [folder, temporary]) mkdirSync(each, { recursive: true });
  await withStudio(async (named) => {
    const golfer = await openFile(named, 'Fia File');
    await writtenDown(named, golfer);
    const club = await clubOf(named, golfer, '7 iron');
    // a column is called as the file is: what is shown of either is written out
    const looked = await sendTable(named, `${golfer}/clubs/import`, `Club;Length;${NAME}\n9 iron;36;1\n`, NAME);
    const pages = [['looked at', await looked.text()]];
    assert.ok(pages[0][1].includes('&lt;img src=x onerror=1&gt;../../x.csv'));
    for (const address of [`${golfer}/clubs/import`, '/shelf/import']) {
      const refused = await sendTable(named, address, '\u0000', NAME);
      assert.equal(refused.status, 422, address);
      pages.push([`${address}, refused`, await refused.text()]);
    }
    await named.save(...matchedOn(pages[0][1]));
    assert.equal((await sendTable(named, '/shelf/import', 'kind,name,at hand\nferrule,Black,12\n', NAME)).status, 303);
    assert.equal((await sendPhoto(named, club, { caption: 'loose ferrule' }, { name: NAME })).status, 303);
    assert.match(await named.page(`${golfer}/clubs`), /More of the 9 iron/);
    for (const address of ['/', '/house', '/shelf', golfer, `${golfer}/clubs`, `${golfer}/clubs/import`, club]) {
      pages.push([address, await named.page(address)]);
    }
    for (const [address, html] of pages) assert.ok(!html.includes('<img src=x'), address);
    assert.equal(await named.stop(), 0);
  }, { folder, env: { TMPDIR: temporary } });
  const files = readdirSync(above, { recursive: true });
  assert.ok(files.some((file) => /photos.*\.jpg$/.test(file)), 'the photo is there, under a name of the studio');
  assert.deepEqual(files.filter((file) => /[<>]|onerror|x\.csv/.test(file)), []);
  // nor beside the folder
  assert.deepEqual([readdirSync(above), readdirSync(path.join(above, 'a'))], [['a', 'temporary'], ['b']]);
});
