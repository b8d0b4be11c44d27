import { scaleLinear } from 'd3-scale';
import type { VNode } from 'preact';
import type { Course } from '../../../core/course/course.js';
import type { WearRow } from '../../../store/views/types.js';
import { day } from '../../times.js';
import type { Words } from '../../wording.js';

const WIDTH = 360;
const HEIGHT = 150;
const MARGIN = { left: 26, right: 4, top: 8, bottom: 20 };
const DAY_MS = 86_400_000;
const DAYS = 42;

export interface WearDay {
  readonly date: string;
  /** Null: the family said nothing of this day. */
  readonly told: WearRow | null;
  /** Least hours asked for that day; null: no brace then. */
  readonly target: number | null;
}

/** Each of the last days in brace with what was told and what was asked for; days of silence stand as such. */
export function wearDays(
  wear: readonly WearRow[],
  steps: Course['wearSteps'],
  today: string,
  count = DAYS,
): WearDay[] {
  const byDate = new Map(wear.map((row) => [row.date, row]));
  const last = Date.parse(`${today}T00:00:00Z`);
  return Array.from({ length: count }, (_unused, i) => {
    const date = new Date(last - (count - 1 - i) * DAY_MS).toISOString().slice(0, 10);
    const step = steps.find((one) => one.from <= date && (one.to === null || date < one.to));
    return { date, told: byDate.get(date) ?? null, target: step?.hoursFrom ?? null };
  }).filter((one) => one.target !== null || one.told !== null);
}

/** Wear by day against the target. A dashed outline is a day nobody told us about, never a day of no wear. */
export function WearPicture({ days, words }: { days: readonly WearDay[]; words: Words }): VNode {
  const x = scaleLinear([0, Math.max(1, days.length)], [MARGIN.left, WIDTH - MARGIN.right]);
  const y = scaleLinear([0, 24], [HEIGHT - MARGIN.bottom, MARGIN.top]);
  const width = Math.max(2, Math.min(22, x(1) - x(0) - 1.5));
  return (
    <svg
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      width={WIDTH * 1.5}
      role="img"
      aria-label={words.say('child.wear')}
    >
      {[0, 6, 12, 18, 24].map((tick) => (
        <g key={tick}>
          <line x1={MARGIN.left} x2={WIDTH - MARGIN.right} y1={y(tick)} y2={y(tick)} class="ax" />
          <text x={MARGIN.left - 4} y={y(tick) + 4} text-anchor="end" class="q">
            {tick}
          </text>
        </g>
      ))}
      {days.map((one, i) => (
        <g key={one.date}>
          {one.told === null ? (
            <rect x={x(i)} y={y(24)} width={width} height={y(0) - y(24)} class="gap" />
          ) : (
            <rect
              x={x(i)}
              y={y(one.told.high)}
              width={width}
              height={Math.max(1.5, y(0) - y(one.told.high))}
              class={one.target !== null && one.told.high < one.target ? 'bar less' : 'bar'}
            />
          )}
          {one.target === null ? null : (
            <line x1={x(i)} x2={x(i) + width + 1.5} y1={y(one.target)} y2={y(one.target)} class="goal" />
          )}
          <title>{`${day(one.date, words)}: ${wearWords(one, words)}`}</title>
        </g>
      ))}
      {[0, Math.floor(days.length / 2), days.length - 1].map((i) => {
        const one = days[i];
        if (one === undefined) return null;
        return (
          <text
            key={i}
            x={x(i) + width / 2}
            y={HEIGHT - 5}
            text-anchor={i === 0 ? 'start' : i === days.length - 1 ? 'end' : 'middle'}
            class="q"
          >
            {shortDay(one.date, words)}
          </text>
        );
      })}
    </svg>
  );
}

/** What was told of a day: hours, a range, or silence. */
export function wearWords(one: WearDay, words: Words): string {
  if (one.told === null) return words.say('child.silent');
  const { low, high } = one.told;
  return words.say('said.hours', { hours: low === high ? low : `${low}–${high}` });
}

function shortDay(date: string, words: Words): string {
  return new Intl.DateTimeFormat(words.locale, { day: 'numeric', month: 'short', timeZone: 'UTC' }).format(
    Date.parse(`${date}T00:00:00Z`),
  );
}
