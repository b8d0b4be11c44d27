import type { VNode } from 'preact';
import type { SaidText } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import { childSummary } from '../../parts/child-words.js';
import { footPoints } from '../../parts/foot-record.js';
import { relationWords } from '../../parts/relation.js';
import { TextLog } from '../../parts/text-log.js';
import { day, moment } from '../../times.js';
import type { LoadedChild } from './load.js';
import { FeetTable, VisitsTable } from './tables.js';
import { NextVisit } from './view.js';
import { wearDays } from './wear-picture.js';

/** One sheet of paper with what a colleague must know who takes this child on. */
export function HandOverSheet(props: { ask: Ask; loaded: LoadedChild; said: readonly SaidText[] }): VNode {
  const { ask, loaded } = props;
  const { words } = ask;
  const { row, course, today } = loaded;
  const wear = wearDays(row.wear, course?.wearSteps ?? [], today, 28).filter((one) => one.told !== null);
  const open = row.flags.filter((flag) => flag.state !== 'closed');
  return (
    <>
      <h1>{words.say('hand-over.title', { name: row.child.name })}</h1>
      <p class="meta">
        {row.clinicName} ·{' '}
        {words.say('hand-over.printed', { time: moment(ask.now, row.timeZone, words), by: ask.staff.name })}
      </p>
      <p>
        {words.say('hand-over.born', { day: day(row.child.born, words) })} ·{' '}
        {childSummary(row.child, today, words)}
      </p>
      {row.guardians.map((guardian) => (
        <p key={guardian.id}>
          {guardian.name} ({relationWords(guardian.relation, words)}) <bdi>{guardian.number}</bdi> ·{' '}
          {words.say('child.language', { language: guardian.language })}
        </p>
      ))}
      <NextVisit visits={course?.visits ?? []} today={today} ask={ask} />
      {open.map((flag) => (
        <p key={flag.id}>
          {words.say(`urgency.${flag.urgency}`)}: {words.say(`matter.${flag.matter}`)}. {flag.reason}
        </p>
      ))}
      {course === null ? null : (
        <>
          <h2>{words.say('child.course')}</h2>
          <VisitsTable ask={ask} course={course} />
        </>
      )}
      {row.child.feet.map((foot) => (
        <section key={foot}>
          <h2>{words.say(`child.foot-${foot}`)}</h2>
          <FeetTable ask={ask} points={footPoints(row.events, foot)} />
        </section>
      ))}
      {wear.length === 0 ? null : (
        <p>
          {words.say('hand-over.wear', {
            days: wear.length,
            hours: mean(wear.map((one) => ((one.told?.low ?? 0) + (one.told?.high ?? 0)) / 2)),
          })}
        </p>
      )}
      <h2>{words.say('hand-over.last-texts')}</h2>
      <TextLog ask={ask} said={props.said} zone={row.timeZone} />
    </>
  );
}

function mean(values: readonly number[]): string {
  return (values.reduce((a, b) => a + b, 0) / values.length).toFixed(1);
}
