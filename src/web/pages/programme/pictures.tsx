import { scaleLinear } from 'd3-scale';
import { curveStepAfter, line } from 'd3-shape';
import type { VNode } from 'preact';
import type { Words } from '../../wording.js';
import type { FigureTable } from './tables.js';

const WIDTH = 360;
const ROW = 36;

/** Bars with their label above and their number at the end; the table under it says the same. */
export function Bars({ table, label }: { table: FigureTable; label: string }): VNode {
  const values = table.rows.map((row) => Number(row[table.drawn] ?? 0));
  const x = scaleLinear([0, table.most ?? Math.max(1, ...values)], [0, WIDTH - 60]);
  const height = table.rows.length * ROW + 4;
  return (
    <svg viewBox={`0 0 ${WIDTH} ${height}`} width={WIDTH * 1.5} role="img" aria-label={label}>
      {table.rows.map((row, i) => {
        const name = table.label.map((column) => row[column]).join(' · ');
        const value = values[i] ?? 0;
        return (
          <g key={name}>
            <text x={0} y={i * ROW + 12}>
              {name}
            </text>
            <rect x={0} y={i * ROW + 17} width={Math.max(1, x(value))} height={13} class="bar" />
            <text x={x(value) + 5} y={i * ROW + 28}>
              {row[table.drawn] ?? '–'}
            </text>
          </g>
        );
      })}
    </svg>
  );
}

/** Steps of a survival curve with its 95 % limits as thinner lines. */
export function Curve({ table, label, words }: { table: FigureTable; label: string; words: Words }): VNode {
  const height = 180;
  const last = Number(table.rows.at(-1)?.[0] ?? 1);
  const x = scaleLinear([0, Math.max(30, last * 1.05)], [30, WIDTH - 8]);
  const y = scaleLinear([0, 100], [height - 24, 8]);
  const points = (column: number): [number, number][] => [
    [0, 100],
    ...table.rows
      .filter((row) => row[column] !== null)
      .map((row): [number, number] => [Number(row[0]), Number(row[column])]),
    ...(column === 3
      ? [[x.domain()[1] ?? last, Number(table.rows.at(-1)?.[3] ?? 100)] as [number, number]]
      : []),
  ];
  const steps = line<[number, number]>(
    ([days]) => x(days),
    ([, share]) => y(share),
  ).curve(curveStepAfter);
  return (
    <svg viewBox={`0 0 ${WIDTH} ${height}`} width={WIDTH * 1.5} role="img" aria-label={label}>
      {[0, 25, 50, 75, 100].map((tick) => (
        <g key={tick}>
          <line x1={30} x2={WIDTH - 8} y1={y(tick)} y2={y(tick)} class="ax" />
          <text x={26} y={y(tick) + 4} text-anchor="end" class="q">
            {tick}
          </text>
        </g>
      ))}
      {x.ticks(5).map((tick) => (
        <text key={tick} x={x(tick)} y={height - 8} text-anchor="middle" class="q">
          {tick}
        </text>
      ))}
      <text x={WIDTH - 8} y={height - 24 - 4} text-anchor="end" class="q">
        {words.say('programme.days')}
      </text>
      <path d={steps(points(4)) ?? ''} class="gap" />
      <path d={steps(points(5)) ?? ''} class="gap" />
      <path d={steps(points(3)) ?? ''} class="ln" />
    </svg>
  );
}
