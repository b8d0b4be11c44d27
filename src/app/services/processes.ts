import { type ChildProcess, spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { setTimeout as wait } from 'node:timers/promises';

/** Whether a process with this number is alive (a zombie is not). */
export function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
  try {
    return !/^State:\s+Z/m.test(readFileSync(`/proc/${pid}/status`, 'utf8'));
  } catch {
    return true;
  }
}

/** The command line of a running process, or an empty string. Guards against a number used again by another. */
export function commandLineOf(pid: number): string {
  try {
    return readFileSync(`/proc/${pid}/cmdline`, 'utf8').replaceAll('\0', ' ');
  } catch {
    return spawnSync('ps', ['-p', String(pid), '-o', 'command='], { encoding: 'utf8' }).stdout ?? '';
  }
}

/** Sends a signal and waits until the process is gone; after `patienceMs` it is killed. */
export async function stopProcess(pid: number, signal: NodeJS.Signals, patienceMs: number): Promise<void> {
  const until = Date.now() + patienceMs;
  send(pid, signal);
  while (isAlive(pid)) {
    if (Date.now() > until) {
      send(pid, 'SIGKILL');
      await wait(200);
      return;
    }
    await wait(50);
  }
}

function send(pid: number, signal: NodeJS.Signals): void {
  try {
    process.kill(pid, signal);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'ESRCH') throw error;
  }
}

/** Resolves with how a child ended, also when it already has. */
export function ended(child: ChildProcess): Promise<string> {
  if (child.exitCode !== null) return Promise.resolve(`exit code ${child.exitCode}`);
  if (child.signalCode !== null) return Promise.resolve(`signal ${child.signalCode}`);
  return new Promise((resolve) => {
    child.once('exit', (code, signal) => resolve(signal === null ? `exit code ${code}` : `signal ${signal}`));
    child.once('error', (error) => resolve(error.message));
  });
}
