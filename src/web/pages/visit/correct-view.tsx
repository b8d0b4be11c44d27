import type { VNode } from 'preact';
import type { EventRow } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import type { Fault } from '../../parts/fault.js';
import { Faults } from '../../parts/faults.js';
import { findingsOf } from '../../parts/foot-record.js';
import type { LoadedChild } from '../child/load.js';
import { AngleKind, FootFields } from './foot-fields.js';

/** Correcting what was written down. The wrong entry stays in the history, crossed out. */
export function CorrectPage(props: {
  ask: Ask;
  loaded: LoadedChild;
  event: EventRow;
  faults: readonly Fault[];
}): VNode {
  const { ask, loaded, event } = props;
  const { words, form } = ask;
  const { row, today } = loaded;
  const action = `/children/${row.child.id}/events/${event.id}`;
  const hasFindings = event.type === 'cast' || event.type === 'visit';
  const value = (field: string) => (form.fields.size === 0 ? valueIn(event, field) : form.get(field));
  return (
    <>
      <h1>{words.say('visit-form.correct', { name: row.child.name })}</h1>
      <p>
        {words.say(`event.${event.type}`)} {typeof event.body.number === 'number' ? event.body.number : ''}
      </p>
      <Faults faults={props.faults} words={words} />
      <form method="post" action={action}>
        <input type="hidden" name="csrf" value={ask.csrf} />
        <div class="field">
          <label for="date">{words.say('child.day')}</label>
          <input id="date" name="date" type="date" max={today} required value={value('date')} />
        </div>
        {hasFindings ? (
          <>
            {row.child.feet.map((foot) => (
              <FootFields key={foot} foot={foot} value={value} words={words} />
            ))}
            <AngleKind value={value('angle')} words={words} />
          </>
        ) : null}
        <label for="note">{words.say('visit-form.note')}</label>
        <textarea id="note" name="note" rows={2} maxLength={500}>
          {value('note')}
        </textarea>
        <p class="acts">
          <button class="main" type="submit">
            {words.say('visit-form.save-correction')}
          </button>
          <a href={`/children/${row.child.id}`}>{words.say('visit-form.leave')}</a>
        </p>
      </form>
      <form method="post" action={`${action}/withdraw`}>
        <input type="hidden" name="csrf" value={ask.csrf} />
        <fieldset>
          <legend>{words.say('visit-form.withdraw')}</legend>
          <p>{words.say('visit-form.withdraw-how')}</p>
          <button type="submit">{words.say('visit-form.withdraw-press')}</button>
        </fieldset>
      </form>
    </>
  );
}

/** What an event holds for a field of the form. */
function valueIn(event: EventRow, field: string): string {
  if (field === 'date') return event.date;
  if (field === 'note') return typeof event.body.note === 'string' ? event.body.note : '';
  if (field === 'angle') {
    const kinds = (['left', 'right'] as const).map((foot) => findingsOf(event, foot)?.abductionAngle);
    return String(kinds.find((kind) => kind !== undefined) ?? 'thigh-foot');
  }
  const [foot = '', name = ''] = field.split('.');
  if (foot !== 'left' && foot !== 'right') return '';
  const found = findingsOf(event, foot);
  const signs = found?.pirani;
  const value =
    typeof signs === 'object' && signs !== null && name in signs
      ? (signs as Record<string, unknown>)[name]
      : found?.[name];
  return typeof value === 'number' ? String(value) : '';
}
