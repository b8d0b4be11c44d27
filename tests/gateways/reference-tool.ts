import { execFileSync } from 'node:child_process';
import { existsSync, mkdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));

/**
 * Makes sure of a npm package that only a test needs, in a folder of its own, and returns that folder; or the reason
 * why it cannot be had here.
 */
export function npmTool(
  name: string,
  version: string,
): { readonly folder: string } | { readonly why: string } {
  const folder = `${root}.toeline/tools/${name.replaceAll('/', '-')}-${version}`;
  if (existsSync(`${folder}/node_modules/${name}/package.json`)) return { folder };
  try {
    mkdirSync(folder, { recursive: true });
    execFileSync('npm', ['install', '--no-audit', '--no-fund', '--prefix', folder, `${name}@${version}`], {
      stdio: 'pipe',
      timeout: 180_000,
    });
    return { folder };
  } catch {
    return { why: `npm could not install ${name}@${version} here (no registry?)` };
  }
}

/** Makes sure of a program from a Debian package: its path, or the reason why it cannot be had here. */
export function debianTool(
  program: string,
  packageName: string,
): { readonly path: string } | { readonly why: string } {
  const why = madeSureOf(packageName, () => pathOf(program) !== undefined);
  const path = pathOf(program);
  return path === undefined ? { why: why ?? `${program} is not here` } : { path };
}

/** Makes sure of a Debian package as told by `isThere`; the reason where that fails. */
export function madeSureOf(packageName: string, isThere: () => boolean): string | undefined {
  if (isThere()) return undefined;
  if (process.getuid?.() !== 0) return `${packageName} is not installed, and only root may install it`;
  /* Two test files may want a package at once, and the lists of a fresh machine may be old. */
  const wait = ['-o', 'DPkg::Lock::Timeout=120'];
  const install = ['install', '-y', '--no-install-recommends', ...wait, packageName];
  const isInstalled = aptGet(install) || (aptGet(['update', ...wait]) && aptGet(install));
  return isInstalled && isThere() ? undefined : `apt-get could not install ${packageName} here`;
}

function aptGet(args: readonly string[]): boolean {
  try {
    const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
    execFileSync('apt-get', args, { stdio: 'pipe', env, timeout: 180_000 });
    return true;
  } catch {
    return false;
  }
}

/** Claims that a command ends well, for packages that bring no program of their own. */
export function succeeds(program: string, ...args: readonly string[]): boolean {
  try {
    execFileSync(program, args, { stdio: 'pipe', timeout: 20_000 });
    return true;
  } catch {
    return false;
  }
}

function pathOf(program: string): string | undefined {
  const folders = [...(process.env.PATH ?? '').split(':'), '/usr/sbin', '/usr/lib/kannel'];
  return folders.map((folder) => `${folder}/${program}`).find((path) => existsSync(path));
}
