// Where pictures for people to look at are written.
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const REPOSITORY = fileURLToPath(new URL('../..', import.meta.url));

/** The folder to write to: outside the repository, where nobody commits a picture by accident. */
export function folderForPictures(named, script) {
  if (!named) throw new Error(`Name a folder for the pictures: npm run ${script} -- FOLDER`);
  const folder = path.resolve(process.env.INIT_CWD ?? process.cwd(), named);
  if (!path.relative(REPOSITORY, folder).startsWith('..')) {
    throw new Error(`${folder} lies in the repository: name a folder outside it.`);
  }
  return folder;
}
