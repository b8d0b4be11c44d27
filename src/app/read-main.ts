import { runRead } from './read-command.js';

process.exitCode = await runRead(process.argv.slice(2), process);
