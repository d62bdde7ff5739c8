// A golfer's folder, filled without a browser, for tests whose subject comes later.
const READINGS = { knuckle_height: ['31 1/8', '31'], stature: ['73'] };
/** Two irons that are half an inch too short for those readings, weighed and balanced. */
export const IRONS = [
  { name: '7 iron', length: '36 3/4', lie: '62', loft: '34', mass: '426', swingweight: 'D0' },
  { name: '8 iron', length: '36 1/4', lie: '62.5', loft: '38', mass: '432', swingweight: 'D0' },
];

/** Opens a file and returns the golfer's address. */
export function openFile(studio, name, plays = 'right-handed') {
  return studio.save('/golfers', { name, plays });
}

export async function measured(studio, golfer, readings = READINGS) {
  const fields = Object.entries(readings).flatMap(([field, values]) =>
    values.map((value, place) => [`read.${field}.${place + 1}`, value]),
  );
  await studio.save(`${golfer}/measure`, Object.fromEntries([['shoes', 'on'], ...fields]));
}

export async function writtenDown(studio, golfer, clubs = IRONS) {
  const fields = clubs.flatMap((club, place) =>
    Object.entries(club).map(([field, value]) => [`n.${place + 1}.${field}`, value]),
  );
  await studio.save(`${golfer}/clubs`, Object.fromEntries(fields));
}

/** A golfer with a job on the bench; returns both addresses. */
export async function onTheBench(studio, name) {
  const golfer = await openFile(studio, name);
  await measured(studio, golfer);
  await writtenDown(studio, golfer);
  await studio.save(`${golfer}/target/keep`, {});
  const job = await studio.save(`${golfer}/job`, {});
  for (const to of ['agreed', 'on the bench']) await studio.save(`${job}/move`, { to });
  return { golfer, job };
}

/** A price for everything a job that extends can need. */
export const PRICES = {
  currency: 'EUR',
  'price.extend': '22.50',
  'price.plug': '4',
  'price.grip': '9.95',
  'price.weight': '2.50',
  'price.ferrule': '1',
  'price.tax': '20 %',
  'price.deposit': '30 %',
};
