import type { ComponentChildren, VNode } from 'preact';
import type { Course } from '../../../core/course/course.js';
import type { EventRow } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import type { FootPoint } from '../../parts/foot-record.js';
import { day, moment } from '../../times.js';
import type { WearDay } from './wear-picture.js';
import { wearWords } from './wear-picture.js';

/** A table that may be wider than a phone: its frame scrolls and can be reached by the keyboard. */
function Table(props: { name: string; heads: readonly string[]; children: ComponentChildren }): VNode {
  const { name, heads, children } = props;
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: what scrolls must be reachable by keyboard (WCAG 2.1.1)
    <section class="scroll" aria-label={name} tabIndex={0}>
      <table>
        <thead>
          <tr>
            {heads.map((head) => (
              <th key={head} scope="col">
                {head}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>{children}</tbody>
      </table>
    </section>
  );
}

/** The phases and visits behind the time line. */
export function VisitsTable({ ask, course }: { ask: Ask; course: Course }): VNode {
  const { words } = ask;
  return (
    <>
      <Table
        name={words.say('child.phase')}
        heads={[words.say('child.phase'), words.say('child.from'), words.say('child.to')]}
      >
        {course.phases.map((span) => (
          <tr key={span.phase + span.from}>
            <td>{words.say(`phase.${span.phase}`)}</td>
            <td>{day(span.from, words)}</td>
            <td>{span.to === null ? '–' : day(span.to, words)}</td>
          </tr>
        ))}
      </Table>
      <Table
        name={words.say('child.visit')}
        heads={[
          words.say('child.visit'),
          words.say('child.due'),
          words.say('child.window'),
          words.say('child.status'),
        ]}
      >
        {course.visits.map((visit) => (
          <tr key={visit.kind + visit.due}>
            <td>
              {words.say(`visit.${visit.kind}`)}
              {visit.isExpectation === true ? ` (${words.say('child.expected')})` : ''}
            </td>
            <td>{day(visit.keptOn ?? visit.missedOn ?? visit.due, words)}</td>
            <td>
              {day(visit.windowFrom, words)} – {day(visit.windowTo, words)}
            </td>
            <td>{words.say(`visit-status.${visit.status}`)}</td>
          </tr>
        ))}
      </Table>
    </>
  );
}

/** The measurements behind a foot's pictures. */
export function FeetTable({ ask, points }: { ask: Ask; points: readonly FootPoint[] }): VNode {
  const { words } = ask;
  const heads = ['day', 'cast', 'score', 'hindfoot', 'midfoot', 'abduction'].map((key) =>
    words.say(`child.${key}`),
  );
  return (
    <Table name={words.say('child.table')} heads={heads}>
      {points.map((point) => (
        <tr key={point.eventId}>
          <td>{day(point.date, words)}</td>
          <td>{point.castNumber ?? '–'}</td>
          <td>{point.score ?? '–'}</td>
          <td>{point.hindfoot ?? '–'}</td>
          <td>{point.midfoot ?? '–'}</td>
          <td>
            {point.abduction === null
              ? '–'
              : `${point.abduction}° ${point.abductionAngle === null ? words.say('child.angle-unsaid') : words.say(`angle.${point.abductionAngle}`)}`}
          </td>
        </tr>
      ))}
    </Table>
  );
}

/** The days behind the wear picture, newest first. */
export function WearTable({ ask, days }: { ask: Ask; days: readonly WearDay[] }): VNode {
  const { words } = ask;
  return (
    <Table
      name={words.say('child.wear')}
      heads={[words.say('child.day'), words.say('child.told'), words.say('child.asked-for')]}
    >
      {days.toReversed().map((one) => (
        <tr key={one.date}>
          <td>{day(one.date, words)}</td>
          <td>{wearWords(one, words)}</td>
          <td>{one.target === null ? '–' : words.say('said.hours', { hours: one.target })}</td>
        </tr>
      ))}
    </Table>
  );
}

/** Every event ever recorded, also the corrected and withdrawn ones, with who wrote it and when. */
export function EventsTable(props: {
  ask: Ask;
  childId: string;
  events: readonly EventRow[];
  zone: string;
}): VNode {
  const { words } = props.ask;
  const heads = ['day', 'event', 'recorded'].map((key) => words.say(`child.${key}`));
  return (
    <Table name={words.say('child.events')} heads={[...heads, words.say('child.correct')]}>
      {props.events.map((event) => {
        const isGone = event.isWithdrawn || event.replacedBy !== null;
        const name = `${words.say(`event.${event.type}`)}${typeof event.body.number === 'number' ? ` ${event.body.number}` : ''}`;
        return (
          <tr key={event.id}>
            <td>{day(event.date, words)}</td>
            <td>
              {isGone ? <s>{name}</s> : name}
              {typeof event.body.note === 'string' ? <div class="meta">{event.body.note}</div> : null}
              {event.replacedBy === null ? null : <div class="meta">{words.say('child.was-corrected')}</div>}
              {event.isWithdrawn ? <div class="meta">{words.say('child.was-withdrawn')}</div> : null}
            </td>
            <td class="meta">
              {event.recordedBy ?? ''} {moment(event.recordedAt, props.zone, words)}
            </td>
            <td>
              {isGone ? null : (
                <a href={`/children/${props.childId}/events/${event.id}`}>{words.say('child.correct')}</a>
              )}
            </td>
          </tr>
        );
      })}
    </Table>
  );
}
