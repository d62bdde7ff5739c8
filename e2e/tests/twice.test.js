// The same form sent twice, as by a double touch or a connection that broke before the answer: it counts once, and the
// second is answered as the first was.
import assert from 'node:assert/strict';
import { randomUUID } from 'node:crypto';
import { test } from 'node:test';
import { measured, onTheBench, openFile, writtenDown } from '../lib/folder.js';
import { useStudio } from '../lib/studio.js';
import { matchedOn, sendTable } from '../lib/upload.js';

const studio = await useStudio();

async function measuredGolfer(name) {
  const golfer = await openFile(studio, name);
  await measured(studio, golfer);
  return golfer;
}

async function golferWithClubs(name) {
  const golfer = await measuredGolfer(name);
  await writtenDown(studio, golfer);
  return golfer;
}

/** A grip on the shelf; returns its address. */
async function onTheShelf() {
  const name = `Part ${randomUUID()}`;
  await studio.save('/shelf', { kind: 'grip', name, diameter: '0.6 in', 'at-hand': '4' });
  const [, part] = (await studio.page('/shelf')).match(new RegExp(`href="(/shelf/[^"]+)">${name}`));
  return part;
}

async function hidden(address, name) {
  const page = await studio.page(address);
  return page.match(new RegExp(`name="${name}" value="([^"]*)"`))[1];
}

/** Where a file of clubs that was looked at is taken, and how its columns are read. */
async function lookedAt(name) {
  const golfer = await openFile(studio, name);
  const page = await (await sendTable(studio, `${golfer}/clubs/import`, 'Club,Length\n7 iron,37\n8 iron,36 1/2\n')).text();
  const [address, columns] = matchedOn(page);
  assert.equal(Object.keys(columns).length, 2);
  return [address, columns];
}

/** Each form: how its page comes to be, and what is sent. */
const FORMS = {
  'a new file': async () => ['/golfers', { name: 'Tom Twice', plays: 'left-handed' }],
  'a file': async () => {
    const golfer = await openFile(studio, 'Fia File');
    const seen = await hidden(`${golfer}/file`, 'seen');
    return [`${golfer}/file`, { seen, name: 'Fia File', plays: 'left-handed', contact: 'by post' }];
  },
  'a file put away': async () => {
    const golfer = await openFile(studio, 'Pia Away');
    return [`${golfer}/file`, { seen: await hidden(`${golfer}/file`, 'seen'), 'put-away': 'yes' }];
  },
  'a remark': async () => [`${await openFile(studio, 'Rolf Remark')}/remarks`, { text: 'Once only.' }],
  readings: async () => [
    `${await openFile(studio, 'Rea Reading')}/measure`,
    { shoes: 'on', 'read.knuckle_height.1': '31 1/8', 'read.stature.1': '73', overruled: 'taken twice' },
  ],
  'a reading taken back': async () => {
    const golfer = await measuredGolfer('Tea Back');
    const [, address] = (await studio.page(`${golfer}/measure`)).match(/formaction="([^"]+)"/);
    return [address, {}];
  },
  'new clubs': async () => [
    `${await openFile(studio, 'Cleo Clubs')}/clubs`,
    { 'n.1.name': '7 iron', 'n.1.length': '37', 'n.2.name': '8 iron', 'n.2.length': '36 1/2' },
  ],
  'a cell': async () => {
    const golfer = await golferWithClubs('Ceri Cell');
    const row = (await studio.page(`${golfer}/clubs`)).match(/name="(c\.[^"]*)\.was" value="([^"]*)"/);
    return [`${golfer}/clubs`, { [`${row[1]}.was`]: row[2], [`${row[1]}.length`]: '36' }];
  },
  'a cell and a new club': async () => {
    const golfer = await golferWithClubs('Cordula Both');
    const row = (await studio.page(`${golfer}/clubs`)).match(/name="(c\.[^"]*)\.was" value="([^"]*)"/);
    const cell = { [`${row[1]}.was`]: row[2], [`${row[1]}.mass`]: '430' };
    return [`${golfer}/clubs`, { ...cell, 'n.1.name': '9 iron', 'n.1.length': '36' }];
  },
  'clubs from a file': async () => {
    // how the columns of such a file are read is remembered with the first of them
    await studio.save(...(await lookedAt('Frieda File')));
    return lookedAt('Finn File');
  },
  'a club put away': async () => {
    const golfer = await golferWithClubs('Ava Away');
    const [, club] = (await studio.page(`${golfer}/clubs`)).match(/href="([^"]+)" aria-label="More of/);
    return [club, { seen: await hidden(club, 'seen'), 'put-away': 'yes' }];
  },
  'what the bench holds': async () => {
    const golfer = await golferWithClubs('Hal Hold');
    return [`${golfer}/target`, { seen: await hidden(`${golfer}/target`, 'seen'), hold: 'inertia' }];
  },
  'a target kept': async () => [`${await golferWithClubs('Kit Keep')}/target/keep`, {}],
  'a job made': async () => [`${await golferWithClubs('Jo Job')}/job`, {}],
  'a job moved on': async () => {
    const { job } = await onTheBench(studio, 'Mo Move');
    return [`${job}/move`, { seen: await hidden(job, 'seen'), to: 'curing', note: 'glued at noon' }];
  },
  'a step ticked': async () => [
    `${(await onTheBench(studio, 'Sol Step')).job}/tick`,
    { step: '0.1', done: 'yes' },
  ],
  'a finished reading': async () => [
    `${(await onTheBench(studio, 'Fay Finished')).job}/tick`,
    { step: '7 iron: mass', done: 'yes', typed: '440 g' },
  ],
  'a day to see again': async () => [
    `${await openFile(studio, 'Dan Day')}/follow-up`,
    { due: '2027-01-08', what: '' },
  ],
  'what was found': async () => {
    const golfer = await openFile(studio, 'Fran Found');
    await studio.save(`${golfer}/follow-up`, { due: '2027-01-08', what: '' });
    const fields = {
      of: await hidden(`${golfer}/follow-up`, 'of'),
      seen: await hidden(`${golfer}/follow-up`, 'seen'),
    };
    return [`${golfer}/follow-up`, { ...fields, found: 'All tight.' }];
  },
  'a new part': async () => ['/shelf', { kind: 'grip', name: `Part ${randomUUID()}`, 'at-hand': '4' }],
  'parts that came': async () => [`${await onTheShelf()}/came`, { came: '3' }],
  'parts that were weighed': async () => [`${await onTheShelf()}/weighed`, { weighed: '50.1 50.3' }],
  'a part changed': async () => [`${await onTheShelf()}`, { seen: '1', kind: 'grip', name: `Part ${randomUUID()}` }],
  'parts put aside': async () => {
    await onTheShelf();
    const { job } = await onTheBench(studio, 'Pam Parts');
    const [, field, value] = (await studio.page(job)).match(/name="(part\.[^"]+)">.*?<option value="([0-9a-f-]{36})"/s);
    return [`${job}/parts`, { seen: await hidden(job, 'seen'), [field]: value }];
  },
  'a day promised': async () => {
    const { job } = await onTheBench(studio, 'Pru Promise');
    return [`${job}/promise`, { seen: await hidden(job, 'seen'), promised: '2026-12-24' }];
  },
  'a setting': async () => ['/house', { was: '24', cure_hours: '36' }],
  'an undoing': async () => {
    const golfer = await openFile(studio, 'Una Undo');
    await studio.save(`${golfer}/remarks`, { text: 'To be undone.' });
    return ['/undo', { of: await hidden(golfer, 'of'), back: golfer }];
  },
};

for (const [what, made] of Object.entries(FORMS)) {
  test(`${what}, sent twice, counts once`, async () => {
    const [address, fields] = await made();
    const act = randomUUID();
    const before = (await studio.acts()).length;
    const answers = [];
    for (const _ of ['first', 'second']) {
      const answer = await studio.post(address, { act, ...fields });
      answers.push([answer.status, answer.headers.get('location')]);
    }
    assert.equal(answers[0][0], 303);
    assert.deepEqual(answers[1], answers[0]);
    assert.equal((await studio.acts()).length, before + 1);
  });

  test(`${what}, sent twice at the same moment, counts once`, async () => {
    const [address, fields] = await made();
    const act = randomUUID();
    const before = (await studio.acts()).length;
    const answers = await Promise.all(['one', 'other'].map(() => studio.post(address, { act, ...fields })));
    assert.deepEqual(
      answers.map((answer) => answer.status),
      [303, 303],
    );
    assert.equal((await studio.acts()).length, before + 1);
  });
}

// what an undoing undoes is all it says, and a cell that holds already what is sent is nothing to save
for (const [what, made] of Object.entries(FORMS).filter(([what]) => !['an undoing', 'a cell'].includes(what))) {
  test(`${what}, sent again with something else in it, is refused`, async () => {
    const [address, fields] = await made();
    const act = randomUUID();
    const before = (await studio.acts()).length;
    assert.equal((await studio.post(address, { act, ...fields })).status, 303);
    const answer = await studio.post(address, { act, ...fields, by: 'Another' });
    assert.equal(answer.status, 409);
    assert.match(await answer.text(), /sent before with something else in it/);
    assert.equal((await studio.acts()).length, before + 1);
  });
}

test('a page with refused readings, loaded again, doubles nothing and says the same', async () => {
  const golfer = await openFile(studio, 'Lena Reload');
  const fields = { act: randomUUID(), 'read.knuckle_height.1': '31 1/8', 'read.knuckle_height.2': '33 1/' };
  const before = (await studio.acts()).length;
  for (const _ of ['first', 'second']) {
    const answer = await studio.post(`${golfer}/measure`, fields);
    assert.equal(answer.status, 422);
    assert.match(await answer.text(), /33 1\//);
  }
  assert.equal((await studio.acts()).length, before + 1);
  assert.equal((await studio.page(`${golfer}/measure`)).match(/>Take back</g).length, 1);
});

test('the same id with something else in it is refused, and says so', async () => {
  const golfer = await openFile(studio, 'Ola Other');
  const act = randomUUID();
  await studio.save(`${golfer}/remarks`, { act, text: 'This.' });
  const answer = await studio.post(`${golfer}/remarks`, { act, text: 'Something else.' });
  assert.equal(answer.status, 409);
  assert.match(await answer.text(), /sent before with something else in it/);
  const page = await studio.page(golfer);
  assert.ok(page.includes('This.'));
  assert.ok(!page.includes('Something else.'));
});
