import type { VNode } from 'preact';
import type { QueueRow } from '../../store/views/types.js';
import { Marked } from '../marked.js';
import type { Ask } from '../page.js';
import { lengthOfTime, localDate } from '../times.js';
import type { Words } from '../wording.js';
import { childSummary, halfHidden } from './child-words.js';
import { relationWords } from './relation.js';

/** How urgent, in a word. The colour only repeats it. */
export function UrgencyTag({ urgency, words }: { urgency: string; words: Words }): VNode {
  return <span class={`tag ${urgency}`}>{words.say(`urgency.${urgency}`)}</span>;
}

/** Waiting time against its limit: "waiting 25 min, 35 min left" or "2 h past its limit". */
export function Waiting({ flag, ask }: { flag: QueueRow; ask: Ask }): VNode {
  const { words, now } = ask;
  const left = flag.dueAt - now;
  return (
    <>
      <span>{words.say('flag.waiting', { time: lengthOfTime(now - flag.openedAt, words) })}</span>{' '}
      {left >= 0 ? (
        <span class="quiet">{words.say('flag.left', { time: lengthOfTime(left, words) })}</span>
      ) : (
        <span class="late">{words.say('flag.late', { time: lengthOfTime(-left, words) })}</span>
      )}
    </>
  );
}

/** Whose flag: the child, or the number nobody knows. */
export function Whose({ flag, ask }: { flag: QueueRow; ask: Ask }): VNode {
  const { words } = ask;
  const today = localDate(ask.now, flag.timeZone ?? ask.zone);
  if (flag.child === null) {
    return (
      <>
        <span class="who">{words.say('flag.unknown-number')}</span>{' '}
        <bdi class="meta">{flag.number === null ? '' : halfHidden(flag.number)}</bdi>
      </>
    );
  }
  return (
    <>
      <bdi class="who">{flag.child.name}</bdi>{' '}
      <span class="meta">{childSummary(flag.child, today, words)}</span>
    </>
  );
}

/** One tap to call whoever holds the phone. */
export function CallLink({ flag, words }: { flag: QueueRow; words: Words }): VNode | null {
  if (flag.number === null || !/^\+?\d{3,}$/.test(flag.number)) return null;
  const relation = relationWords(flag.relation, words);
  return (
    <a class="btn" href={`tel:${flag.number}`}>
      {words.say('flag.call', { who: relation })} <bdi>{halfHidden(flag.number)}</bdi>
    </a>
  );
}

/** The family's words as evidence, or why there are none. */
export function FamilyWords({ flag, words }: { flag: QueueRow; words: Words }): VNode {
  if (flag.words === null) return <p class="quiet">{words.say('flag.no-words')}</p>;
  return (
    <blockquote>
      {flag.words.trim() === '' ? (
        <span class="quiet">{words.say('flag.empty-text')}</span>
      ) : (
        <Marked text={flag.words} evidence={flag.evidence} words={words} />
      )}
    </blockquote>
  );
}

/** One flag in the queue, complete enough to act on without opening it. */
export function FlagEntry({ flag, ask, back }: { flag: QueueRow; ask: Ask; back: string }): VNode {
  const { words } = ask;
  const isMine = flag.takenById === ask.staff.id;
  return (
    <li class="entry" id={`f${flag.id}`}>
      <div class="side">
        <UrgencyTag urgency={flag.urgency} words={words} /> <Waiting flag={flag} ask={ask} />
      </div>
      <div>
        <h2 class="line">
          <Whose flag={flag} ask={ask} />
        </h2>
        <FamilyWords flag={flag} words={words} />
        <p dir="auto">{flag.reason}</p>
        <p class="do" dir="auto">
          {flag.nextStep}
        </p>
        {flag.takenBy === null ? null : (
          <p class="meta">
            {isMine ? words.say('flag.yours') : words.say('flag.taken-by', { name: flag.takenBy })}
          </p>
        )}
        <div class="acts">
          <CallLink flag={flag} words={words} />
          {flag.state === 'open' ? (
            <form method="post" action={`/flags/${flag.id}/take`}>
              <input type="hidden" name="csrf" value={ask.csrf} />
              <input type="hidden" name="back" value={back} />
              <button class="main" type="submit">
                {words.say('flag.take')}
              </button>
            </form>
          ) : null}
          <a class="btn" href={`/flags/${flag.id}`}>
            {words.say(isMine ? 'flag.open-mine' : 'flag.open')}
          </a>
        </div>
      </div>
    </li>
  );
}
