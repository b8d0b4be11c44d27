import type { VNode } from 'preact';
import type { FlagEventRow } from '../../../store/views/types.js';
import { Marked } from '../../marked.js';
import type { Ask } from '../../page.js';
import { UrgencyTag } from '../../parts/flag-entry.js';
import { moment } from '../../times.js';

/** Everything that happened to a flag, oldest first, as it was written down. */
export function History(props: { ask: Ask; events: readonly FlagEventRow[]; zone: string }): VNode {
  const { words } = props.ask;
  return (
    <ol class="log">
      {props.events.map((event) => (
        <li key={event.id}>
          <span class="meta">{moment(event.at, props.zone, words)}</span>{' '}
          <strong>{words.say(`happened.${event.kind}`)}</strong>{' '}
          {event.staffName === null ? null : <span>{words.say('flag.by', { name: event.staffName })}</span>}{' '}
          {event.urgency === null ? null : <UrgencyTag urgency={event.urgency} words={words} />}
          {event.words === null ? null : (
            <p>
              <Marked text={event.words} evidence={event.evidence} words={words} />
            </p>
          )}
          {event.note === null || event.note === '' ? null : (
            <p class="words" dir="auto">
              {event.note}
            </p>
          )}
        </li>
      ))}
    </ol>
  );
}
