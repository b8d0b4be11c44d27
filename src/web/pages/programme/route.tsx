import { writeCsv } from '../../csv.js';
import type { Answer, Ask, PageRoute } from '../../page.js';
import { localDate } from '../../times.js';
import { makeTable, TABLES } from './tables.js';
import { ProgrammePage } from './view.js';

export const programmeRoutes: readonly PageRoute[] = [
  { method: 'GET', path: '/programme', needs: 'see-programme', answer: showProgramme },
  { method: 'GET', path: '/programme/table', needs: 'see-programme', answer: giveTable },
];

async function showProgramme(ask: Ask): Promise<Answer> {
  const tables = await Promise.all(TABLES.map((name) => makeTable(ask, name)));
  return {
    kind: 'page',
    under: 'programme',
    title: ask.words.say('programme.title'),
    body: <ProgrammePage ask={ask} tables={tables} />,
  };
}

/** One figure as a file for a spreadsheet. `?name=caseload`. */
async function giveTable(ask: Ask): Promise<Answer> {
  const name = TABLES.find((one) => one === ask.query.get('name'));
  if (name === undefined) return { kind: 'missing' };
  const table = await makeTable(ask, name);
  return {
    kind: 'file',
    type: 'text/csv',
    name: `${name}-${localDate(ask.now, ask.zone)}.csv`,
    body: writeCsv([table.heads, ...table.rows]),
  };
}
