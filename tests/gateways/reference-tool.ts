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

/** Makes sure of a program from a Debian package; returns the reason where apt cannot. */
export function debianTool(
  program: string,
  packageName: string,
): { readonly path: string } | { readonly why: string } {
  const found = pathOf(program);
  if (found) return { path: found };
  if (process.getuid?.() !== 0)
    return { why: `${program} is not here and only root may install ${packageName}` };
  try {
    const env = { ...process.env, DEBIAN_FRONTEND: 'noninteractive' };
    execFileSync('apt-get', ['install', '-y', '--no-install-recommends', packageName], {
      stdio: 'pipe',
      env,
      timeout: 180_000,
    });
  } catch {
    return { why: `${program} is not here and apt-get could not install ${packageName}` };
  }
  const path = pathOf(program);
  return path ? { path } : { why: `${packageName} brought no ${program}` };
}

function pathOf(program: string): string | undefined {
  const folders = [...(process.env.PATH ?? '').split(':'), '/usr/sbin', '/usr/lib/kannel'];
  return folders.map((folder) => `${folder}/${program}`).find((path) => existsSync(path));
}
