import { parseArgs } from 'node:util';
import { startPretendNetwork } from './server.js';

/**
 * The pretend network as its own process:
 * `node dist/pretend-network/main.js --port 0 --toeline-url http://127.0.0.1:3000/hooks/pretend --secret ...`
 * (or the secret in PRETEND_SECRET, which other users of the machine cannot read from the process list).
 * Prints one JSON line with its port when it is ready; ends on SIGTERM or SIGINT, or when its parent goes away and
 * `--with-parent` was given.
 */
const { values } = parseArgs({
  options: {
    port: { type: 'string', default: '0' },
    'toeline-url': { type: 'string' },
    secret: { type: 'string' },
    'try-for-seconds': { type: 'string', default: '600' },
    'with-parent': { type: 'boolean', default: false },
  },
});
const secret = values.secret ?? process.env.PRETEND_SECRET;
const toelineUrl = values['toeline-url'];
const port = Number(values.port);
const tryForMs = Number(values['try-for-seconds']) * 1_000;

const faults = [
  !toelineUrl && "--toeline-url is missing: give the full address of toeline's webhook",
  (!secret || secret.length < 16) && '--secret (or PRETEND_SECRET) is missing or shorter than 16 characters',
  !(Number.isInteger(port) && port >= 0 && port <= 65_535) && '--port must be 0 (any free port) to 65535',
  !(tryForMs >= 0) && '--try-for-seconds must be a number of seconds',
].filter((fault) => typeof fault === 'string');

if (faults.length > 0 || !secret || !toelineUrl) {
  process.stderr.write(
    `The pretend network cannot start:\n${faults.map((one) => `  - ${one}`).join('\n')}\n`,
  );
  process.exit(2);
}

const running = await startPretendNetwork({ port, toelineUrl, secret, tryForMs });
process.stdout.write(`${JSON.stringify({ ready: true, port: running.port, pid: process.pid })}\n`);

const stop = () => void running.close().then(() => process.exit(0));
process.once('SIGTERM', stop);
process.once('SIGINT', stop);
if (values['with-parent']) process.stdin.resume().once('end', stop).once('error', stop);
