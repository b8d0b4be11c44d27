import { runCourse } from './course-command.js';

process.exitCode = await runCourse(process.argv.slice(2), process);
