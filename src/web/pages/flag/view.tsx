import type { VNode } from 'preact';
import { FLAG_OUTCOMES } from '../../../core/model/flag.js';
import type { FlagPageRow, SaidText, StaffRow } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import type { Fault } from '../../parts/fault.js';
import { CallLink, FamilyWords, UrgencyTag, Waiting, Whose } from '../../parts/flag-entry.js';
import { TextLog } from '../../parts/text-log.js';
import { lengthOfTime, moment } from '../../times.js';
import { History } from './history.js';
import { ReplyForm } from './reply.js';

interface FlagShown {
  readonly ask: Ask;
  readonly flag: FlagPageRow;
  readonly said: readonly SaidText[];
  readonly colleagues: readonly StaffRow[];
  readonly fault: Fault | null;
}

/** One flag: what the family said, why it stands here, what to do, and everything done so far. */
export function FlagPage({ ask, flag, said, colleagues, fault }: FlagShown): VNode {
  const { words } = ask;
  const zone = flag.timeZone ?? ask.zone;
  return (
    <>
      {fault === null ? null : (
        <p class="said bad" role="alert">
          {words.say(fault.key, fault.values)}
        </p>
      )}
      <h1>{words.say(`matter.${flag.matter}`)}</h1>
      <p>
        <Whose flag={flag} ask={ask} />
      </p>
      <p class="side">
        <UrgencyTag urgency={flag.urgency} words={words} />{' '}
        {flag.state === 'closed' ? words.say('flag.is-closed') : <Waiting flag={flag} ask={ask} />}
      </p>
      <FamilyWords flag={flag} words={words} />
      <p class="do" dir="auto">
        {flag.nextStep}
      </p>
      {flag.takenBy === null || flag.state === 'closed' ? null : (
        <p class="meta">
          {flag.takenById === ask.staff.id
            ? words.say('flag.yours')
            : words.say('flag.taken-by', { name: flag.takenBy })}
        </p>
      )}
      <div class="acts">
        <CallLink flag={flag} words={words} />
        {flag.state === 'open' ? <TakeForm ask={ask} flag={flag} /> : null}
        {flag.child === null ? null : (
          <a class="btn" href={`/children/${flag.child.id}`}>
            {words.say('flag.child-page')}
          </a>
        )}
      </div>
      {flag.state === 'closed' ? null : <Deeds ask={ask} flag={flag} colleagues={colleagues} />}
      <Why ask={ask} flag={flag} />
      <h2>{words.say('flag.history')}</h2>
      <History ask={ask} events={flag.events} zone={zone} />
      <h2>{words.say('said.title')}</h2>
      <TextLog ask={ask} said={said} zone={zone} />
    </>
  );
}

function TakeForm({ ask, flag }: { ask: Ask; flag: FlagPageRow }): VNode {
  return (
    <form method="post" action={`/flags/${flag.id}/take`}>
      <input type="hidden" name="csrf" value={ask.csrf} />
      <button class="main" type="submit">
        {ask.words.say('flag.take')}
      </button>
    </form>
  );
}

/** The chain from the family's words to the urgency, so that it can be checked and contradicted. */
function Why({ ask, flag }: { ask: Ask; flag: FlagPageRow }): VNode {
  const { words } = ask;
  const signs = [...new Set(flag.evidence.map((e) => e.sign))];
  return (
    <>
      <h2>{words.say('flag.why')}</h2>
      <ol class="steps">
        <li>
          {signs.length === 0
            ? words.say('flag.why-no-signs')
            : words.say('flag.why-signs', { signs: signs.map((s) => words.say(`sign.${s}`)).join(', ') })}
        </li>
        <li>
          <bdi>{flag.reason}</bdi> <span class="meta">{words.say('flag.why-rule', { rule: flag.rule })}</span>
        </li>
        <li>
          {words.say('flag.why-urgency', {
            urgency: words.say(`urgency.${flag.urgency}`),
            time: lengthOfTime(Math.max(0, flag.dueAt - flag.urgencyAt), words),
            due: moment(flag.dueAt, flag.timeZone ?? ask.zone, words),
          })}
        </li>
      </ol>
      <p class="meta">{words.say('queue.draft-rules')}</p>
    </>
  );
}

function Deeds({ ask, flag, colleagues }: Pick<FlagShown, 'ask' | 'flag' | 'colleagues'>): VNode {
  const { words } = ask;
  const hidden = <input type="hidden" name="csrf" value={ask.csrf} />;
  return (
    <>
      <ReplyForm ask={ask} flag={flag} />
      <form method="post" action={`/flags/${flag.id}/close`}>
        <fieldset>
          <legend>{words.say('flag.close')}</legend>
          {hidden}
          {FLAG_OUTCOMES.map((outcome) => (
            <label class="line" key={outcome}>
              <input type="radio" name="outcome" value={outcome} required /> {words.say(`outcome.${outcome}`)}
            </label>
          ))}
          <label for="close-note">{words.say('flag.close-note')}</label>
          <textarea id="close-note" name="note" rows={2} />
          <p class="acts">
            <button class="main" type="submit">
              {words.say('flag.close-press')}
            </button>
          </p>
        </fieldset>
      </form>
      <details>
        <summary>{words.say('flag.note')}</summary>
        <form method="post" action={`/flags/${flag.id}/note`}>
          {hidden}
          <label for="note" class="hide">
            {words.say('flag.note')}
          </label>
          <textarea id="note" name="note" rows={2} required />
          <p class="acts">
            <button type="submit">{words.say('flag.note-press')}</button>
          </p>
        </form>
      </details>
      <details>
        <summary>{words.say('flag.hand-over')}</summary>
        <form method="post" action={`/flags/${flag.id}/hand-over`}>
          {hidden}
          <label for="to">{words.say('flag.hand-over-to')}</label>
          <select id="to" name="to" required>
            <option value="">{words.say('flag.hand-over-choose')}</option>
            {colleagues
              .filter((person) => person.id !== ask.staff.id)
              .map((person) => (
                <option key={person.id} value={person.id}>
                  {person.name} ({words.say(`role.${person.role}`)})
                </option>
              ))}
          </select>
          <label for="hand-note">{words.say('flag.hand-over-note')}</label>
          <textarea id="hand-note" name="note" rows={2} />
          <p class="acts">
            <button type="submit">{words.say('flag.hand-over-press')}</button>
          </p>
        </form>
      </details>
    </>
  );
}
