#!/usr/bin/env node
/**
 * Makes sure of what `npm run demo`, `npm test` and the command line need, from a bare clone: the locked packages,
 * a Redis server, and an up-to-date build. Uses nothing but Node itself, says what it does in one line each, and
 * does nothing when nothing is missing.
 */
import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import {
  accessSync,
  constants,
  existsSync,
  lstatSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { delimiter, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = join(dirname(fileURLToPath(import.meta.url)), '..');
const say = (line) => process.stderr.write(`toeline: ${line}\n`);

class SetupFault extends Error {}

/** Brings everything up to date; throws a SetupFault whose message says what the user must do. */
export function setUp({ needsRedis = true, wantsBrowser = false } = {}) {
  requireNode();
  installPackages();
  if (needsRedis && !process.env.REDIS_URL) requireRedis();
  if (wantsBrowser) wishForChromium();
  build();
}

function requireNode() {
  const [major, minor] = process.versions.node.split('.').map(Number);
  if (major < 20 || (major === 20 && minor < 19)) {
    throw new SetupFault(
      `Node ${process.versions.node} is too old; install Node 20.19 or newer and run this again.`,
    );
  }
}

function installPackages() {
  const modules = join(root, 'node_modules');
  // A linked folder belongs to somebody else's checkout: never install into it.
  if (existsSync(modules) && lstatSync(modules).isSymbolicLink()) return;
  const stamp = join(modules, '.toeline-lock');
  const lock = createHash('sha256')
    .update(readFileSync(join(root, 'package-lock.json')))
    .digest('hex');
  if (existsSync(stamp) && readFileSync(stamp, 'utf8') === `${lock} ${process.versions.modules}`) return;
  say('installing the locked packages (once; a minute or two) …');
  run(
    'npm',
    ['ci', '--include=dev', '--no-audit', '--no-fund', '--loglevel=error'],
    'The packages could not be installed; check the network and run this again.',
  );
  writeFileSync(stamp, `${lock} ${process.versions.modules}`);
}

/** Where a program is on the PATH, or null. */
function onPath(name) {
  for (const folder of (process.env.PATH ?? '').split(delimiter)) {
    const path = join(folder, name);
    try {
      accessSync(path, constants.X_OK);
      return path;
    } catch {}
  }
  return null;
}

function requireRedis() {
  if (onPath('redis-server') || onPath('valkey-server')) return;
  installWithPackageManager('redis-server', 'redis');
  if (onPath('redis-server') || onPath('valkey-server')) return;
  throw new SetupFault(
    `redis-server is missing. Run this line, then try again:\n    ${redisLine()}\nor set REDIS_URL to a Redis you already have.`,
  );
}

/** The browser tests drive a real one; where none can be had they are skipped and say so. */
function wishForChromium() {
  if (onPath('chromium') || onPath('chromium-browser') || onPath('google-chrome')) return;
  installWithPackageManager('chromium', null);
}

/** Installs a program where this user may (apt as root or with sudo, brew); otherwise does nothing. */
function installWithPackageManager(aptName, brewName) {
  const asRoot = process.getuid?.() === 0 ? [] : canSudo() ? ['sudo', '-n'] : null;
  const lines = [];
  if (onPath('apt-get') && asRoot) {
    const quietly = [...asRoot, 'env', 'DEBIAN_FRONTEND=noninteractive', 'apt-get'];
    lines.push([...quietly, 'update', '-qq']);
    lines.push([...quietly, 'install', '-y', '-qq', '--no-install-recommends', aptName]);
  } else if (onPath('brew') && brewName) {
    lines.push(['brew', 'install', brewName]);
  }
  if (lines.length === 0) return;
  say(`installing ${aptName} with the package manager …`);
  for (const [command, ...args] of lines)
    spawnSync(command, args, { stdio: ['ignore', 'ignore', 'inherit'] });
}

function canSudo() {
  return onPath('sudo') !== null && spawnSync('sudo', ['-n', 'true'], { stdio: 'ignore' }).status === 0;
}

function redisLine() {
  if (process.platform === 'darwin') return 'brew install redis';
  if (onPath('dnf')) return 'sudo dnf install -y valkey';
  if (onPath('pacman')) return 'sudo pacman -S --noconfirm valkey';
  if (onPath('apk')) return 'sudo apk add redis';
  return 'sudo apt-get install -y redis-server';
}

function build() {
  const stamp = join(root, 'dist', '.built');
  const newest = newestIn(join(root, 'src'));
  if (
    existsSync(stamp) &&
    statSync(stamp).mtimeMs >= newest &&
    statSync(stamp).mtimeMs >= statSync(join(root, 'tsconfig.json')).mtimeMs
  )
    return;
  mkdirSync(join(root, 'dist'), { recursive: true });
  run(
    process.execPath,
    [
      join(root, 'node_modules', 'typescript', 'bin', 'tsc'),
      '-p',
      join(root, 'deploy', 'tsconfig.build.json'),
    ],
    'The build failed; the lines above say where.',
  );
  writeFileSync(stamp, new Date().toISOString());
}

function newestIn(folder) {
  let newest = statSync(folder).mtimeMs;
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    newest = Math.max(newest, entry.isDirectory() ? newestIn(path) : statSync(path).mtimeMs);
  }
  return newest;
}

function run(command, args, otherwise) {
  const done = spawnSync(command, args, { cwd: root, stdio: ['ignore', process.stderr, process.stderr] });
  if (done.status !== 0) throw new SetupFault(otherwise);
}

/** Runs the set-up and ends the process with one clear sentence when it cannot be done. */
export function setUpOrExit(options) {
  try {
    setUp(options);
  } catch (fault) {
    if (!(fault instanceof SetupFault)) throw fault;
    say(fault.message);
    process.exit(1);
  }
}

if (process.argv[1] === fileURLToPath(import.meta.url))
  setUpOrExit({ wantsBrowser: process.argv.includes('--dev') });
