// Every kind of page, as the invented studio has it.
import { answered } from './hand.js';

/** Finds a golfer's address by the name. */
export async function golferCalled(studio, name) {
  const hits = await studio.page(`/search?q=${encodeURIComponent(name)}`);
  const found = [...hits.matchAll(/href="(\/golfers\/[^"/]+)"/g)].map(([, address]) => address);
  if (found.length !== 1) throw new Error(`${found.length} golfers are called ${name}`);
  return found[0];
}

/** Finds the address of a golfer's job, or of the first club with this name. */
async function jobOf(studio, golfer) {
  const [, address] = (await studio.page(`${golfer}/job`)).match(/href="([^"]+)\/sheet"/);
  return address;
}
export async function clubOf(studio, golfer, name) {
  const [, address] = (await studio.page(`${golfer}/clubs`)).match(
    new RegExp(`href="([^"]+)" aria-label="More of the ${name}"`),
  );
  return address;
}

/** Types into a page and saves it, so that it comes back with what was refused; `between` happens before it is saved. */
async function refused(page, field, typed, button, between = async () => {}) {
  await page.locator(field).fill(typed);
  await between();
  await answered(page, () => page.getByRole('button', { name: button }).click());
}

/** A part is typed in with a mass that is none. */
async function partRefused(page) {
  const open = page.getByText('Add a part');
  await open.click();
  await page.locator('#name').fill('Soft, round');
  await refused(page, '#mass', 'heavy', 'Put it on the shelf');
}

/** A table of clubs is chosen, and its columns wait to be matched. */
async function fromAFile(page) {
  const buffer = Buffer.from(
    'Club;Length;Lie;Weight;Maker\n7 iron;37;62;426;unknown\n8 iron;36 1/2;62.5;432;unknown\n',
  );
  await page.locator('input[type="file"]').setInputFiles({ name: 'clubs.csv', mimeType: 'text/csv', buffer });
  await Promise.all([
    page.waitForEvent('domcontentloaded'),
    page.getByRole('button', { name: 'Look at the file' }).click(),
  ]);
}

/** The file is changed by somebody else while it is typed into. */
function changedElsewhere(page, studio, golfer) {
  const theirs = { name: GOLFERS.wanjiru, plays: 'right-handed', contact: 'by post' };
  return refused(page, '#contact', 'by telephone', 'Save the file', () =>
    studio.save(`${golfer}/file`, theirs),
  );
}

const GOLFERS = {
  wanjiru: 'Wanjiru Kamau',
  maeve: 'Maeve Brannigan',
  marta: 'Marta Lindqvist',
  lukasz: 'Łukasz Wróbel',
  pavel: 'Pavel Horák',
  joost: 'Joost Vermeer',
  tendai: 'Tendai Moyo',
  benita: 'Benita Okafor',
  edwin: 'Edwin Achterberg',
};

/**
 * The kinds of page. `title` is what stands before ", Lengthwise". A page `isOnSpine` where it is a station's or
 * the golfer's own; those have the one thing to do next. `after` is done once the address is open; `status` is the
 * answer the browser complains of, where it is not 200.
 */
export async function everyPage(studio, empty, ofAChain) {
  const at = Object.fromEntries(
    await Promise.all(
      Object.entries(GOLFERS).map(async ([key, name]) => [key, await golferCalled(studio, name)]),
    ),
  );
  const marta = await jobOf(studio, at.marta);
  const iron = await clubOf(studio, at.marta, '7 iron');
  const [, part] = (await studio.page('/shelf')).match(/href="(\/shelf\/[^"]+)">Nylon rod, turned for \.580/);
  const station = (name, title, golfer, address, rest = {}) => ({
    name,
    title: `${title}, ${GOLFERS[golfer]}`,
    address: at[golfer] + address,
    isOnSpine: true,
    ...rest,
  });
  const pages = [
    { name: 'studio', title: 'Studio', address: '/' },
    { name: 'empty studio', title: 'Studio', address: '/', studio: empty },
    { name: 'search with hits', title: 'Golfers like "o"', address: '/?q=o' },
    { name: 'search with none', title: 'Golfers like "Quentin"', address: '/?q=Quentin' },
    { name: 'house', title: 'House', address: '/house' },
    { name: 'rule', title: 'What trials say of the rule', address: '/house/rule' },
    { name: 'bench bias', title: 'What readings say of the bench', address: '/house/bench' },
    { name: 'devices, this machine alone', title: 'Devices', address: '/house/devices' },
    { name: 'devices with a code', title: 'Devices', address: '/house/devices', studio: empty, after: withACode },
    { name: 'let in', title: 'Let this device in', address: '/join', studio: empty, isDoorway: true },
    { name: 'sign in', title: 'Sign in', address: '/sign-in', studio: empty, isDoorway: true },
    { name: 'once more', title: 'The passphrase once more', address: '/confirm', studio: empty, isDoorway: true },
    ...(ofAChain ? [{ name: 'chain', title: 'Studios of the chain', address: '/house/chain', studio: ofAChain }] : []),
    { name: 'keeping', title: 'Keeping', address: '/house/keeping' },
    { name: 'forget', title: `Forget ${GOLFERS.marta}`, address: `${at.marta}/forget` },
    { name: 'shelf', title: 'Shelf', address: '/shelf' },
    { name: 'empty shelf', title: 'Shelf', address: '/shelf', studio: empty },
    { name: 'shelf, refused', title: 'Error: Shelf', address: '/shelf', status: 422, after: partRefused },
    { name: 'part', title: 'Nylon rod, turned for .580', address: part },
    { name: 'help', title: 'Help', address: '/help' },
    { name: 'no such page', title: 'Error: There is no such page', address: '/no-such', status: 404 },
    { name: 'golfer', title: GOLFERS.marta, address: at.marta, isOnSpine: true },
    { name: 'golfer with a health remark', title: GOLFERS.maeve, address: at.maeve, isOnSpine: true },
    { ...station('file', 'File', 'wanjiru', '/file'), isOnSpine: false },
    station('measure, empty', 'Measure', 'wanjiru', '/measure'),
    station('measure, good', 'Measure', 'marta', '/measure'),
    station('measure, doubtful', 'Measure', 'lukasz', '/measure'),
    station('measure, refused', 'Error: Measure', 'wanjiru', '/measure', {
      status: 422,
      after: (page) => refused(page, '#read-knuckle-height-1', '33 1/', 'Save the readings'),
    }),
    station('clubs, empty', 'Clubs', 'wanjiru', '/clubs'),
    station('clubs', 'Clubs', 'marta', '/clubs'),
    station('clubs, refused', 'Error: Clubs', 'wanjiru', '/clubs', {
      status: 422,
      after: (page) => refused(page, '#n-1-name', 'tennis racket', 'Save the clubs'),
    }),
    station('clubs from a file', 'Clubs from a file', 'wanjiru', '/clubs/import'),
    station('clubs from a file, matched', 'Clubs from a file', 'wanjiru', '/clubs/import', {
      after: fromAFile,
    }),
    { ...station('one club', '7 iron', 'marta', ''), address: iron },
    station('target', 'Target', 'marta', '/target'),
    station('target of a child', 'Target', 'pavel', '/target'),
    station('target, none', 'Target', 'wanjiru', '/target'),
    station('trial to plan', 'Trial', 'marta', '/trial'),
    station('trial, refused', 'Error: Trial', 'marta', '/trial', {
      status: 422,
      after: (page) => refused(page, '#lengths', '1/2 in, 3 in', 'Plan the trial'),
    }),
    station('trial in hand', 'Trial', 'joost', '/trial'),
    station('visit in the bay', 'Visit 3', 'joost', '/trial/visits/3'),
    station('visit done', 'Visit 1', 'joost', '/trial/visits/1'),
    station('verdict, not opened', 'Verdict', 'joost', '/trial/verdict'),
    station('trial opened', 'Trial', 'edwin', '/trial'),
    station('verdict', 'Verdict', 'edwin', '/trial/verdict'),
    station('another trial', 'Another trial', 'edwin', '/trial/plan'),
    { name: 'order sheet', title: `Order of visit 3, ${GOLFERS.joost}`, address: `${at.joost}/trial/visits/3/sheet`, isPaper: true },
    { name: 'trial sheet', title: `Your strike trial, ${GOLFERS.edwin}`, address: `${at.edwin}/trial/golfers-sheet`, isPaper: true },
    station('job, none', 'Job', 'wanjiru', '/job'),
    station('job, to be made', 'Job', 'joost', '/job'),
    station('job, on the bench', 'Job', 'marta', '/job'),
    station('build from the shelf', 'Build from the shelf', 'joost', '/job/build'),
    station('job, curing', 'Job', 'tendai', '/job'),
    station('job, ready', 'Job', 'benita', '/job'),
    station('follow-up to set', 'Follow-up', 'marta', '/follow-up'),
    station('follow-up to do', 'Follow-up', 'maeve', '/follow-up'),
    { name: 'job sheet', title: `Job sheet, ${GOLFERS.marta}`, address: `${marta}/sheet`, isPaper: true },
    {
      name: "golfer's sheet",
      title: `Length of your irons, ${GOLFERS.marta}`,
      address: `${marta}/golfers-sheet`,
      isPaper: true,
    },
    {
      name: 'file changed elsewhere',
      title: 'Error: Someone changed this since the page was opened',
      address: `${at.wanjiru}/file`,
      status: 409,
      after: (page, of) => changedElsewhere(page, of, at.wanjiru),
    },
  ];
  return pages.map((page) => ({ studio, ...page }));
}

/** Where devices are let in: the passphrase first, then a code. */
async function withACode(page) {
  const set = page.getByRole('button', { name: 'Set it' });
  if (await set.isVisible()) await answered(page, () => set.click());
  const show = page.getByRole('button', { name: 'Show a code' });
  if (await show.isVisible()) await answered(page, () => show.click());
}

/** Opens a kind of page in the browser. */
export async function open(page, kind) {
  await page.goto(kind.studio.url + kind.address);
  await kind.after?.(page, kind.studio);
  await page.evaluate(() => document.fonts.ready);
}
