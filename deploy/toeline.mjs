#!/usr/bin/env node
/** The `toeline` command: makes sure the packages and the build are there, then hands over to the built program. */
import { setUpOrExit } from './setup.mjs';

// Reading and course, say, need no services, so they must not make anybody install one.
const withoutServices = new Set([
  'read',
  'course',
  'check',
  'segments',
  'figures',
  'wear-table',
  'bench',
  'help',
  '--help',
  '--version',
  undefined,
]);
setUpOrExit({ needsRedis: !withoutServices.has(process.argv[2]) });
const { main } = await import('../dist/app/cli.js');
process.exitCode = await main(process.argv.slice(2));
