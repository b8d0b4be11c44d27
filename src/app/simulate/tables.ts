import { DateTime } from 'luxon';
import type { NurseDaysOptions, SimulatedDays, SimulatedFlag } from './clinic.js';

const ZONE = 'Africa/Nairobi';
const HOUR = 3_600_000;
const URGENCIES = ['now', 'today', 'soon'] as const;

/** The simulated days as text: a day by the hour, waits by urgency, the ladder, and what was assumed. */
export function nurseDayTables(days: SimulatedDays, options: NurseDaysOptions): string[] {
  const last = lastWorkingDay(days);
  return [
    `${options.families} families, ${options.nurses} nurses, ${options.days} days, ${Math.round(options.answerRate * 100)} % of check-ins answered, seed ${options.seed}.`,
    `${days.textsIn} texts in, ${days.textsOut} out, ${days.questions} questions asked, ${days.flags.length} open matters.`,
    '',
    `Queue by the hour on ${DateTime.fromMillis(last, { zone: ZONE }).toFormat('cccc, yyyy-MM-dd')}:`,
    '',
    '| Hour | raised | taken | waiting: now | today | soon | overdue |',
    '| --- | ---: | ---: | ---: | ---: | ---: | ---: |',
    ...hourRows(days.flags, last),
    '',
    `Waits until a nurse took it, all ${options.days} days (minutes by the clock):`,
    '',
    '| Urgency | matters | median | 90 % | longest | within its limit | not taken yet |',
    '| --- | ---: | ---: | ---: | ---: | ---: | ---: |',
    ...URGENCIES.map((urgency) => waitRow(days.flags, urgency)),
    '',
    'Ladder (times somebody was told by text that nobody had taken a matter):',
    '',
    '| Urgency | nurse on call | second person | clinician |',
    '| --- | ---: | ---: | ---: |',
    ...URGENCIES.map((urgency) => ladderRow(days, urgency)),
    '',
    'What raised them (rules by number of matters):',
    '',
    ...ruleRows(days.flags),
  ];
}

/** Midnight of the last weekday that was lived through. */
function lastWorkingDay({ to }: SimulatedDays): number {
  let day = DateTime.fromMillis(to - HOUR, { zone: ZONE }).startOf('day');
  while (day.weekday > 5) day = day.minus({ days: 1 });
  return day.toMillis();
}

function hourRows(flags: readonly SimulatedFlag[], midnight: number): string[] {
  return Array.from({ length: 18 }, (_, index) => {
    const from = midnight + (index + 6) * HOUR;
    const to = from + HOUR;
    const within = (at: number | null) => at !== null && at >= from && at < to;
    const raised = flags.filter(({ openedAt }) => within(openedAt)).length;
    const taken = flags.filter(({ takenAt }) => within(takenAt)).length;
    const waiting = flags.filter(
      ({ openedAt, takenAt }) => openedAt < to && (takenAt === null || takenAt >= to),
    );
    const counts = URGENCIES.map((urgency) => waiting.filter((flag) => flag.urgency === urgency).length);
    const overdue = waiting.filter(({ dueAt }) => dueAt <= to).length;
    const hour = `${String(index + 6).padStart(2, '0')}-${String(index + 7).padStart(2, '0')}`;
    return `| ${[hour, raised, taken, ...counts, overdue].join(' | ')} |`;
  });
}

function waitRow(flags: readonly SimulatedFlag[], urgency: string): string {
  const own = flags.filter((flag) => flag.urgency === urgency);
  const taken = own.filter(({ takenAt }) => takenAt !== null);
  const waits = taken
    .map(({ urgencyAt, takenAt }) => ((takenAt ?? 0) - urgencyAt) / 60_000)
    .toSorted((a, b) => a - b);
  const inTime = taken.filter(({ takenAt, dueAt }) => (takenAt ?? 0) <= dueAt).length;
  const at = (share: number) =>
    Math.round(waits[Math.min(waits.length - 1, Math.floor(waits.length * share))] ?? 0);
  const share = taken.length === 0 ? '-' : `${((inTime / taken.length) * 100).toFixed(1)} %`;
  return `| ${[urgency, own.length, at(0.5), at(0.9), at(1), share, own.length - taken.length].join(' | ')} |`;
}

function ladderRow({ escalations }: SimulatedDays, urgency: string): string {
  const own = escalations.filter((one) => one.urgency === urgency);
  return `| ${[urgency, ...[1, 2, 3].map((step) => own.filter((one) => one.step === step).length)].join(' | ')} |`;
}

function ruleRows(flags: readonly SimulatedFlag[]): string[] {
  const counts = new Map<string, number>();
  for (const { rule } of flags) counts.set(rule, (counts.get(rule) ?? 0) + 1);
  return [...counts]
    .toSorted((a, b) => b[1] - a[1])
    .slice(0, 12)
    .map(([rule, count]) => `- ${rule}: ${count}`);
}
