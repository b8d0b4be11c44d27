import { spawnSync } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, readFileSync, renameSync, statSync } from 'node:fs';
import { dirname, join, resolve } from 'node:path';

/** Whom PostgreSQL runs as: it refuses to run as root. Null: as ourselves. */
export interface ServerUser {
  readonly uid: number;
  readonly gid: number;
}

/**
 * For an ordinary user: null. For root: the system's `postgres` user if there is one, else a system user of our own
 * (`toeline`), else `nobody`.
 */
export function serverUser(): ServerUser | null {
  if (process.getuid?.() !== 0) return null;
  const found = lookUp('postgres') ?? lookUp('toeline');
  if (found) return found;
  spawnSync('useradd', ['--system', '--no-create-home', '--shell', '/usr/sbin/nologin', 'toeline'], {
    stdio: 'ignore',
  });
  const made = lookUp('toeline') ?? lookUp('nobody');
  if (made) return made;
  throw new Error(
    'PostgreSQL refuses to run as root and no other user was found. Run toeline as an ordinary user, or set DATABASE_URL to a PostgreSQL you already have.',
  );
}

function lookUp(name: string): ServerUser | null {
  const line = readFileSync('/etc/passwd', 'utf8')
    .split('\n')
    .find((row) => row.startsWith(`${name}:`));
  const [, , uid, gid] = line?.split(':') ?? [];
  return uid && gid ? { uid: Number(uid), gid: Number(gid) } : null;
}

/** Whether a user who owns nothing here may walk down to a folder: every folder above lets others through. */
export function canReach(path: string, user: ServerUser): boolean {
  for (let folder = resolve(path); ; folder = dirname(folder)) {
    if (existsSync(folder)) {
      const { mode, uid } = statSync(folder);
      const bit = uid === user.uid ? 0o100 : 0o001;
      if ((mode & bit) === 0) return false;
    }
    if (dirname(folder) === folder) return true;
  }
}

/**
 * The folder of PostgreSQL's own files, somewhere the server's user can read: the package's own when it can be
 * reached, else a copy (a checkout below /root, say, is closed to everybody else).
 */
export function reachablePrograms(packaged: string, version: string, user: ServerUser | null): string {
  if (user === null || canReach(join(packaged, 'bin'), user)) return packaged;
  const copy = join('/var/lib/toeline', `postgresql-${version}`);
  if (existsSync(join(copy, 'bin', 'postgres'))) return copy;
  const unfinished = `${copy}.${process.pid}`;
  mkdirSync(unfinished, { recursive: true, mode: 0o755 });
  cpSync(packaged, unfinished, { recursive: true, verbatimSymlinks: true });
  renameSync(unfinished, copy);
  return copy;
}
