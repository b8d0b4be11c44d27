import type { VNode } from 'preact';
import type { CourseVisit } from '../../../core/course/course.js';
import type { GuardianRow, SaidText } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import { childSummary, halfHidden } from '../../parts/child-words.js';
import { UrgencyTag } from '../../parts/flag-entry.js';
import { footPoints } from '../../parts/foot-record.js';
import { relationWords } from '../../parts/relation.js';
import { TextLog } from '../../parts/text-log.js';
import { day, daysBetween, moment } from '../../times.js';
import { CoursePicture } from './course-picture.js';
import { FootPicture } from './feet-picture.js';
import type { LoadedChild } from './load.js';
import { EventsTable, FeetTable, VisitsTable, WearTable } from './tables.js';
import { WearPicture, wearDays } from './wear-picture.js';

interface ChildShown {
  readonly ask: Ask;
  readonly loaded: LoadedChild;
  readonly said: readonly SaidText[];
}

/** One child: who, what next, the course, the feet, the wear, what was said. */
export function ChildPage({ ask, loaded, said }: ChildShown): VNode {
  const { words } = ask;
  const { row, today } = loaded;
  return (
    <>
      <h1>
        <bdi>{row.child.name}</bdi>
      </h1>
      <p class="meta">{childSummary(row.child, today, words)}</p>
      <NextVisit visits={loaded.course?.visits ?? []} today={today} ask={ask} />
      <OpenFlags ask={ask} loaded={loaded} />
      <div class="acts">
        {row.guardians.slice(0, 2).map((guardian) => (
          <a class="btn" key={guardian.id} href={`tel:${guardian.number}`}>
            {words.say('flag.call', { who: relationWords(guardian.relation, words) })}{' '}
            <bdi>{halfHidden(guardian.number)}</bdi>
          </a>
        ))}
        <a class="btn main" href={`/children/${row.child.id}/visit`}>
          {words.say('child.record-visit')}
        </a>
        <a class="btn" href={`/children/${row.child.id}/hand-over`}>
          {words.say('child.print')}
        </a>
      </div>
      <Alerts ask={ask} loaded={loaded} />
      <CourseSection ask={ask} loaded={loaded} />
      <Feet ask={ask} loaded={loaded} />
      <Wear ask={ask} loaded={loaded} />
      <h2>{words.say('said.title')}</h2>
      <TextLog ask={ask} said={said} zone={row.timeZone} />
      <h2>{words.say('child.guardians')}</h2>
      {row.guardians.map((guardian) => (
        <Guardian key={guardian.id} guardian={guardian} ask={ask} zone={row.timeZone} />
      ))}
      <details>
        <summary>{words.say('child.events')}</summary>
        <EventsTable ask={ask} childId={row.child.id} events={row.events} zone={row.timeZone} />
      </details>
    </>
  );
}

/** The next visit that has not been kept, with how far away it is. */
export function NextVisit(props: { visits: readonly CourseVisit[]; today: string; ask: Ask }): VNode {
  const { words } = props.ask;
  const next = props.visits.find((visit) => ['overdue', 'due', 'planned'].includes(visit.status));
  if (next === undefined) return <p>{words.say('child.no-visit')}</p>;
  const away = daysBetween(props.today, next.due);
  const values = { kind: words.say(`visit.${next.kind}`), day: day(next.due, words), days: Math.abs(away) };
  return (
    <p class="do">
      {away < 0
        ? words.say('child.visit-overdue', values)
        : away === 0
          ? words.say('child.visit-today', values)
          : words.say('child.visit-next', values)}
    </p>
  );
}

function OpenFlags({ ask, loaded }: Omit<ChildShown, 'said'>): VNode | null {
  const open = loaded.row.flags.filter((flag) => flag.state !== 'closed');
  if (open.length === 0) return null;
  return (
    <ul class="log">
      {open.map((flag) => (
        <li key={flag.id}>
          <UrgencyTag urgency={flag.urgency} words={ask.words} />{' '}
          <a href={`/flags/${flag.id}`}>{ask.words.say(`matter.${flag.matter}`)}</a>{' '}
          <bdi class="meta">{flag.reason}</bdi>
        </li>
      ))}
    </ul>
  );
}

function Alerts({ ask, loaded }: Omit<ChildShown, 'said'>): VNode | null {
  const { row, course, faults } = loaded;
  const stopped = row.isTextingStopped || row.guardians.every((g) => g.isStopped);
  if ((course?.alerts.length ?? 0) === 0 && faults.length === 0 && !stopped) return null;
  return (
    <>
      <h2>{ask.words.say('child.alerts')}</h2>
      <ul class="log">
        {stopped ? <li>{ask.words.say('child.texts-stopped')}</li> : null}
        {faults.map((fault) => (
          <li key={fault}>{ask.words.say('child.record-fault', { fault })}</li>
        ))}
        {course?.alerts.map((alert) => (
          <li key={alert.code + alert.reason}>
            <bdi>{alert.reason}</bdi>{' '}
            <div class="meta">{ask.words.say('child.source', { source: alert.source })}</div>
          </li>
        ))}
      </ul>
    </>
  );
}

function CourseSection({ ask, loaded }: Omit<ChildShown, 'said'>): VNode | null {
  const { row, course, today } = loaded;
  if (course === null) return null;
  return (
    <>
      <h2>{ask.words.say('child.course')}</h2>
      <CoursePicture
        course={course}
        events={row.events}
        flags={row.flags}
        today={today}
        zone={row.timeZone}
        words={ask.words}
      />
      <p class="meta">{ask.words.say('child.course-key')}</p>
      <details>
        <summary>{ask.words.say('child.course-table')}</summary>
        <VisitsTable ask={ask} course={course} />
      </details>
    </>
  );
}

function Feet({ ask, loaded }: Omit<ChildShown, 'said'>): VNode {
  const { row } = loaded;
  return (
    <>
      {row.child.feet.map((foot) => {
        const points = footPoints(row.events, foot);
        return (
          <section key={foot}>
            <h2>{ask.words.say(`child.foot-${foot}`)}</h2>
            {points.length === 0 ? (
              <p class="quiet">{ask.words.say('child.none-measured')}</p>
            ) : (
              <>
                <FootPicture points={points} words={ask.words} />
                <details>
                  <summary>{ask.words.say('child.table')}</summary>
                  <FeetTable ask={ask} points={points} />
                </details>
              </>
            )}
          </section>
        );
      })}
      <p class="meta">{ask.words.say('child.feet-key')}</p>
    </>
  );
}

function Wear({ ask, loaded }: Omit<ChildShown, 'said'>): VNode | null {
  const { row, course, today } = loaded;
  const days = wearDays(row.wear, course?.wearSteps ?? [], today);
  if (days.length === 0) return null;
  const silent = days.filter((one) => one.told === null).length;
  return (
    <>
      <h2>{ask.words.say('child.wear')}</h2>
      <p>{ask.words.say('child.wear-sum', { told: days.length - silent, silent })}</p>
      <WearPicture days={days} words={ask.words} />
      <p class="meta">{ask.words.say('child.wear-key')}</p>
      <details>
        <summary>{ask.words.say('child.table')}</summary>
        <WearTable ask={ask} days={days} />
      </details>
    </>
  );
}

function Guardian({ guardian, ask, zone }: { guardian: GuardianRow; ask: Ask; zone: string }): VNode {
  const { words } = ask;
  return (
    <p>
      <bdi class="who">{guardian.name}</bdi>{' '}
      <span class="meta">{relationWords(guardian.relation, words)}</span>
      <br />
      <bdi>{guardian.number}</bdi> · {words.say('child.language', { language: guardian.language })}
      {guardian.reads ? null : ` · ${words.say('child.does-not-read')}`}
      {guardian.chosenHour === null ? null : ` · ${words.say('child.hour', { hour: guardian.chosenHour })}`}
      <br />
      <span class="meta">
        {guardian.consentOn === null
          ? words.say('child.no-consent')
          : words.say('child.consent', { day: day(guardian.consentOn, words), by: guardian.consentBy ?? '' })}
        {guardian.isStopped ? ` · ${words.say('child.number-stopped')}` : null}
        {guardian.isUnreachable ? ` · ${words.say('child.number-unreachable')}` : null}
        {guardian.quietUntil !== null && guardian.quietUntil > ask.now
          ? ` · ${words.say('child.number-quiet', { time: moment(guardian.quietUntil, zone, words) })}`
          : null}
      </span>
    </p>
  );
}
