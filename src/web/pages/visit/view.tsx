import type { VNode } from 'preact';
import type { CourseVisit } from '../../../core/course/course.js';
import type { Ask } from '../../page.js';
import { childSummary } from '../../parts/child-words.js';
import type { Fault } from '../../parts/fault.js';
import { Faults } from '../../parts/faults.js';
import { footPoints } from '../../parts/foot-record.js';
import { day } from '../../times.js';
import type { LoadedChild } from '../child/load.js';
import { DEEDS, type Deed } from './fields.js';
import { AngleKind, FootFields } from './foot-fields.js';

interface VisitShown {
  readonly ask: Ask;
  readonly loaded: LoadedChild;
  readonly faults: readonly Fault[];
  readonly next: ReadonlyMap<Deed, CourseVisit | null>;
}

/** What is most likely being recorded, by phase. */
const USUAL: Readonly<Record<string, Deed>> = {
  before: 'cast',
  cast: 'cast',
  tenotomy: 'brace',
  'brace-day': 'brace-check',
  'brace-night': 'brace-check',
  review: 'review',
};

/** A visit in a few taps: what was done, the signs, the angle; the date stands already, the next one is proposed. */
export function VisitPage({ ask, loaded, faults, next }: VisitShown): VNode {
  const { words, form } = ask;
  const { row, today } = loaded;
  const deed = form.get('deed') || (USUAL[row.child.phase] ?? 'review');
  const isEmpty = form.fields.size === 0;
  const angle = form.get('angle') || lastAngle(loaded);
  return (
    <>
      <h1>{words.say('visit-form.title', { name: row.child.name })}</h1>
      <p class="meta">{childSummary(row.child, today, words)}</p>
      <Faults faults={faults} words={words} />
      <form method="post" action={`/children/${row.child.id}/visit`}>
        <input type="hidden" name="csrf" value={ask.csrf} />
        <div class="field">
          <label for="date">{words.say('child.day')}</label>
          <input
            id="date"
            name="date"
            type="date"
            max={today}
            required
            value={isEmpty ? today : form.get('date')}
          />
        </div>
        <fieldset>
          <legend>{words.say('visit-form.deed')}</legend>
          {DEEDS.filter((one) => next.has(one) || one === deed).map((one) => {
            const visit = next.get(one);
            return (
              <label class="line" key={one}>
                <input type="radio" name="deed" value={one} checked={deed === one} required />{' '}
                {words.say(`deed.${one}`)}
                {visit === undefined || visit === null ? null : (
                  <span class="meta">
                    {' '}
                    {words.say('visit-form.next', {
                      kind: words.say(`visit.${visit.kind}`),
                      day: day(visit.due, words),
                    })}
                  </span>
                )}
              </label>
            );
          })}
          <p class="meta">{words.say('visit-form.next-key')}</p>
        </fieldset>
        {row.child.feet.map((foot) => (
          <FootFields key={foot} foot={foot} value={(field) => form.get(field)} words={words} />
        ))}
        <p class="meta">{words.say('visit-form.score-key')}</p>
        <AngleKind value={angle} words={words} />
        <label for="note">{words.say('visit-form.note')}</label>
        <textarea id="note" name="note" rows={2} maxLength={500}>
          {form.get('note')}
        </textarea>
        <p class="acts">
          <button class="main" type="submit">
            {words.say('visit-form.save')}
          </button>
          <a href={`/children/${row.child.id}`}>{words.say('visit-form.leave')}</a>
        </p>
      </form>
    </>
  );
}

/** The kind of angle this child was last measured by; thigh-foot is the classic one. */
function lastAngle(loaded: LoadedChild): string {
  const kinds = loaded.row.child.feet
    .flatMap((foot) => footPoints(loaded.row.events, foot))
    .toSorted((a, b) => (a.date < b.date ? -1 : 1))
    .map((point) => point.abductionAngle)
    .filter((kind) => kind !== null);
  return kinds.at(-1) ?? 'thigh-foot';
}
