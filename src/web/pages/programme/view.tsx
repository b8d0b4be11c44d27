import type { VNode } from 'preact';
import type { Ask } from '../../page.js';
import { Bars, Curve } from './pictures.js';
import type { FigureTable } from './tables.js';

/** The programme in six figures, each a picture, a table and a file. */
export function ProgrammePage({ ask, tables }: { ask: Ask; tables: readonly FigureTable[] }): VNode {
  const { words } = ask;
  return (
    <>
      <h1>{words.say('programme.title')}</h1>
      <p>{words.say('programme.how')}</p>
      {tables.map((table) => (
        <Figure key={table.name} ask={ask} table={table} />
      ))}
    </>
  );
}

function Figure({ ask, table }: { ask: Ask; table: FigureTable }): VNode {
  const { words } = ask;
  const title = words.say(`programme.${table.name}`);
  return (
    <section>
      <h2>{title}</h2>
      <p class="meta">{words.say(`programme.${table.name}-how`)}</p>
      {table.rows.length === 0 ? (
        <p class="quiet">{words.say('programme.none')}</p>
      ) : (
        <>
          {table.name === 'staying' ? (
            <Curve table={table} label={title} words={words} />
          ) : (
            <Bars table={table} label={title} />
          )}
          <details>
            <summary>{words.say('child.table')}</summary>
            {/* biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard (WCAG 2.1.1) */}
            <section class="scroll" aria-label={title} tabIndex={0}>
              <table>
                <thead>
                  <tr>
                    {table.heads.map((head) => (
                      <th key={head} scope="col">
                        {head}
                      </th>
                    ))}
                  </tr>
                </thead>
                <tbody>
                  {table.rows.map((row) => (
                    <tr key={row.join()}>
                      {row.map((cell, i) => (
                        <td key={table.heads[i]}>{cell ?? '–'}</td>
                      ))}
                    </tr>
                  ))}
                </tbody>
              </table>
            </section>
          </details>
          <p>
            <a href={`/programme/table?name=${table.name}`}>{words.say('programme.file')}</a>
          </p>
        </>
      )}
    </section>
  );
}
