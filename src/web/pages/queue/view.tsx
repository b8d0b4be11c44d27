import type { VNode } from 'preact';
import type { FlagUrgency, QueueCounts, QueueRow } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import { FlagEntry } from '../../parts/flag-entry.js';

export interface QueueChoice {
  readonly urgency: FlagUrgency | null;
  readonly isMine: boolean;
  readonly page: number;
  readonly hasMore: boolean;
}

interface QueueShown {
  readonly ask: Ask;
  readonly counts: QueueCounts;
  readonly rows: readonly QueueRow[];
  readonly choice: QueueChoice;
}

/** The queue: what needs me now, first. */
export function QueuePage({ ask, counts, rows, choice }: QueueShown): VNode {
  const { words } = ask;
  return (
    <>
      <h1>{words.say('queue.title')}</h1>
      <p id="queue-news" class="said" role="status" hidden>
        <a href={address(choice)}>{words.say('queue.news')}</a>
      </p>
      <div id="queue-live" data-now={counts.now} data-mark={counts.mark}>
        <p>
          {counts.now > 0 ? (
            <span class="late">{words.say('queue.sum-now', { count: counts.now })}</span>
          ) : null}{' '}
          {words.say('queue.sum', { today: counts.today, soon: counts.soon })}{' '}
          {counts.overdue > 0 ? words.say('queue.sum-late', { count: counts.overdue }) : null}
        </p>
        <Filters ask={ask} counts={counts} choice={choice} />
        {rows.length === 0 ? (
          <p>{words.say(choice.isMine || choice.urgency !== null ? 'queue.none-here' : 'queue.none')}</p>
        ) : (
          <ol class="log" id="queue">
            {rows.map((flag) => (
              <FlagEntry key={flag.id} flag={flag} ask={ask} back={address(choice)} />
            ))}
          </ol>
        )}
      </div>
      <Pages ask={ask} choice={choice} />
      <p class="meta">{words.say('queue.draft-rules')}</p>
    </>
  );
}

function Filters({ ask, counts, choice }: { ask: Ask; counts: QueueCounts; choice: QueueChoice }): VNode {
  const { words } = ask;
  const total = counts.now + counts.today + counts.soon;
  const links: [QueueChoice, string][] = [
    [{ ...choice, urgency: null, isMine: false }, words.say('queue.all', { count: total })],
    [{ ...choice, urgency: 'now', isMine: false }, `${words.say('urgency.now')} (${counts.now})`],
    [{ ...choice, urgency: 'today', isMine: false }, `${words.say('urgency.today')} (${counts.today})`],
    [{ ...choice, urgency: 'soon', isMine: false }, `${words.say('urgency.soon')} (${counts.soon})`],
    [{ ...choice, urgency: null, isMine: true }, words.say('queue.mine', { count: counts.mine })],
  ];
  return (
    <nav aria-label={words.say('queue.filters')}>
      {links.map(([to, label]) => {
        const isHere = to.urgency === choice.urgency && to.isMine === choice.isMine;
        return (
          <a key={label} href={address({ ...to, page: 1 })} aria-current={isHere ? 'true' : undefined}>
            {label}
          </a>
        );
      })}
    </nav>
  );
}

function Pages({ ask, choice }: { ask: Ask; choice: QueueChoice }): VNode | null {
  if (choice.page === 1 && !choice.hasMore) return null;
  return (
    <p class="acts">
      {choice.page > 1 ? (
        <a class="btn" href={address({ ...choice, page: choice.page - 1 })}>
          {ask.words.say('queue.earlier')}
        </a>
      ) : null}
      {choice.hasMore ? (
        <a class="btn" href={address({ ...choice, page: choice.page + 1 })}>
          {ask.words.say('queue.next')}
        </a>
      ) : null}
    </p>
  );
}

function address(choice: QueueChoice): string {
  const query = new URLSearchParams();
  if (choice.urgency !== null) query.set('urgency', choice.urgency);
  if (choice.isMine) query.set('mine', '1');
  if (choice.page > 1) query.set('page', String(choice.page));
  return query.size === 0 ? '/queue' : `/queue?${query}`;
}
