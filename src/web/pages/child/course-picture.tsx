import { scaleUtc } from 'd3-scale';
import type { VNode } from 'preact';
import type { Course, CourseVisit } from '../../../core/course/course.js';
import type { EventRow, OpenFlagRow } from '../../../store/views/types.js';
import { standing } from '../../parts/foot-record.js';
import { day, localDate } from '../../times.js';
import type { Words } from '../../wording.js';

const WIDTH = 360;
const LEFT = 58;
const RIGHT = 8;
const ROW = 26;
const DAY_MS = 86_400_000;
/** Days of the future shown: enough for the next visits. */
const AHEAD_DAYS = 70;

interface Drawn {
  readonly course: Course;
  readonly events: readonly EventRow[];
  readonly flags: readonly OpenFlagRow[];
  readonly today: string;
  readonly zone: string;
  readonly words: Words;
}

const instant = (date: string) => Date.parse(`${date}T00:00:00Z`);

/** The course on a time line: phases, casts, visits kept, missed and to come, flags. A table with the same follows it. */
export function CoursePicture(props: Drawn): VNode {
  const { course, events, flags, today, words } = props;
  const dated = standing(events);
  const first = dated[0]?.date ?? course.phases.find((p) => p.phase !== 'before')?.from ?? today;
  const from = instant(first) - 7 * DAY_MS;
  const to = instant(today) + AHEAD_DAYS * DAY_MS;
  const x = scaleUtc([from, to], [LEFT, WIDTH - RIGHT]);
  const at = (date: string) => x(instant(date));
  const rows = ['phases', 'casts', 'visits', 'flags'];
  const y = (row: number) => 14 + row * ROW;
  const bottom = y(rows.length);
  return (
    <svg
      viewBox={`0 0 ${WIDTH} ${bottom + 20}`}
      width={WIDTH * 1.5}
      role="img"
      aria-label={words.say('child.course-picture')}
    >
      {rows.map((row, i) => (
        <text key={row} x={0} y={y(i) + 12} class="q">
          {words.say(`child.row-${row}`)}
        </text>
      ))}
      <Axis x={x} bottom={bottom} words={words} />
      <Phases course={course} x={x} y={y(0)} range={[from, to]} words={words} />
      {dated
        .filter((event) => event.type === 'cast')
        .map((event) => (
          <rect key={event.id} x={at(event.date) - 1.5} y={y(1)} width={3} height={14} class="bar">
            <title>{`${words.say('event.cast')} ${String(event.body.number ?? '')}, ${day(event.date, words)}`}</title>
          </rect>
        ))}
      {dated
        .filter((event) => event.type === 'tenotomy')
        .map((event) => (
          <text key={event.id} x={at(event.date)} y={y(1) + 12} text-anchor="middle">
            {words.say('child.mark-tenotomy')}
          </text>
        ))}
      {course.visits
        .filter((visit) => instant(placeOf(visit)) <= to)
        .map((visit) => (
          <VisitMark
            key={`${visit.kind}${visit.due}`}
            visit={visit}
            x={at(placeOf(visit))}
            y={y(2) + 7}
            words={words}
          />
        ))}
      {flags.map((flag) => (
        <g key={flag.id}>
          <title>{`${words.say(`matter.${flag.matter}`)}, ${words.say(`urgency.${flag.urgency}`)}`}</title>
          <path
            d={`M${at(localDate(flag.openedAt, props.zone))} ${y(3)} v14 M${at(localDate(flag.openedAt, props.zone))} ${y(3)} h7 v6 h-7`}
            class={flag.state === 'closed' ? 'ln' : 'ln bad'}
          />
        </g>
      ))}
      <line x1={at(today)} x2={at(today)} y1={4} y2={bottom} class="aim" />
      <text x={at(today)} y={bottom + 15} text-anchor="middle">
        {words.say('child.today')}
      </text>
    </svg>
  );
}

const placeOf = (visit: CourseVisit) => visit.keptOn ?? visit.missedOn ?? visit.due;

/** Kept: filled. Missed: a cross. Overdue: an exclamation mark. To come: a ring. Shape says it, not colour. */
function VisitMark({
  visit,
  x,
  y,
  words,
}: {
  visit: CourseVisit;
  x: number;
  y: number;
  words: Words;
}): VNode {
  const title = (
    <title>{`${words.say(`visit.${visit.kind}`)}, ${words.say(`visit-status.${visit.status}`)}, ${day(placeOf(visit), words)}`}</title>
  );
  switch (visit.status) {
    case 'kept':
      return (
        <circle cx={x} cy={y} r={4} class="dot">
          {title}
        </circle>
      );
    case 'missed':
      return (
        <path d={`M${x - 4} ${y - 4} l8 8 M${x + 4} ${y - 4} l-8 8`} class="ln">
          {title}
        </path>
      );
    case 'overdue':
      return (
        <text x={x} y={y + 5} text-anchor="middle" class="strong">
          !{title}
        </text>
      );
    default:
      return (
        <circle cx={x} cy={y} r={4} class="ring">
          {title}
        </circle>
      );
  }
}

function Phases(props: {
  course: Course;
  x: (at: number) => number;
  y: number;
  range: readonly [number, number];
  words: Words;
}): VNode {
  const { course, x, y, range, words } = props;
  const spans = course.phases
    .map((span) => ({
      ...span,
      start: Math.max(instant(span.from), range[0]),
      end: Math.min(span.to === null ? range[1] : instant(span.to), range[1]),
    }))
    .filter((span) => span.end > span.start);
  return (
    <g>
      {spans.map((span, i) => {
        const width = x(span.end) - x(span.start);
        return (
          <g key={span.from + span.phase}>
            <rect
              x={x(span.start)}
              y={y}
              width={width}
              height={16}
              class={i % 2 === 0 ? 'path' : 'path two-tone'}
            />
            {width > 52 ? (
              <text x={x(span.start) + 3} y={y + 12}>
                {words.say(`phase-short.${span.phase}`)}
              </text>
            ) : null}
            <title>{`${words.say(`phase.${span.phase}`)}, ${day(span.from, words)}`}</title>
          </g>
        );
      })}
    </g>
  );
}

function Axis(props: {
  x: ReturnType<typeof scaleUtc<number, number>>;
  bottom: number;
  words: Words;
}): VNode {
  const { x, bottom, words } = props;
  const month = new Intl.DateTimeFormat(words.locale, { month: 'short', timeZone: 'UTC' });
  const year = new Intl.DateTimeFormat(words.locale, { year: 'numeric', timeZone: 'UTC' });
  const ticks = x.ticks(5);
  const isLong = (ticks.at(-1)?.getTime() ?? 0) - (ticks[0]?.getTime() ?? 0) > 700 * DAY_MS;
  return (
    <g>
      {ticks.map((tick) => (
        <g key={tick.getTime()}>
          <line x1={x(tick)} x2={x(tick)} y1={8} y2={bottom} class="ax" />
          <text x={x(tick)} y={9} class="q" text-anchor="middle">
            {isLong
              ? year.format(tick)
              : tick.getUTCDate() === 1
                ? month.format(tick)
                : `${tick.getUTCDate()} ${month.format(tick)}`}
          </text>
        </g>
      ))}
    </g>
  );
}
