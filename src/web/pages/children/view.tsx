import type { VNode } from 'preact';
import type { ChildInList } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import { childSummary } from '../../parts/child-words.js';
import { UrgencyTag } from '../../parts/flag-entry.js';
import { day, localDate } from '../../times.js';

export interface ChildrenChoice {
  readonly find: string;
  readonly phase: string | null;
  readonly isOverdue: boolean;
  readonly page: number;
  readonly hasMore: boolean;
}

interface ChildrenShown {
  readonly ask: Ask;
  readonly rows: readonly ChildInList[];
  readonly choice: ChildrenChoice;
  readonly phases: readonly string[];
}

/** The children of the clinic: search, phase, overdue visits. */
export function ChildrenPage({ ask, rows, choice, phases }: ChildrenShown): VNode {
  const { words } = ask;
  return (
    <>
      <h1>{words.say('children.title')}</h1>
      <form method="get" action="/children">
        <label for="find">{words.say('children.find')}</label>
        <input id="find" name="find" value={choice.find} type="search" />
        <div class="two">
          <div>
            <label for="phase">{words.say('child.phase')}</label>
            <select id="phase" name="phase">
              <option value="">{words.say('children.any-phase')}</option>
              {phases.map((phase) => (
                <option key={phase} value={phase} selected={phase === choice.phase}>
                  {words.say(`phase.${phase}`)}
                </option>
              ))}
            </select>
          </div>
          <label class="line">
            <input type="checkbox" name="overdue" value="1" checked={choice.isOverdue} />{' '}
            {words.say('children.only-overdue')}
          </label>
        </div>
        <p class="acts">
          <button type="submit">{words.say('children.search')}</button>
        </p>
      </form>
      {rows.length === 0 ? <p>{words.say('children.none')}</p> : null}
      <ul class="log">
        {rows.map((row) => (
          <ChildEntry key={row.child.id} row={row} ask={ask} />
        ))}
      </ul>
      <p class="acts">
        {choice.page > 1 ? (
          <a class="btn" href={address(choice, choice.page - 1)}>
            {words.say('queue.earlier')}
          </a>
        ) : null}
        {choice.hasMore ? (
          <a class="btn" href={address(choice, choice.page + 1)}>
            {words.say('children.more')}
          </a>
        ) : null}
      </p>
    </>
  );
}

function ChildEntry({ row, ask }: { row: ChildInList; ask: Ask }): VNode {
  const { words } = ask;
  const today = localDate(ask.now, ask.zone);
  return (
    <li>
      <a class="who" href={`/children/${row.child.id}`}>
        <bdi>{row.child.name}</bdi>
      </a>{' '}
      <span class="meta">{childSummary(row.child, today, words)}</span>
      <div>
        {row.next === null ? null : (
          <span class={row.next.status === 'overdue' ? 'late' : ''}>
            {words.say(`visit.${row.next.kind}`)}, {day(row.next.due, words)}
            {row.next.status === 'overdue' ? ` (${words.say('visit-status.overdue')})` : ''}
          </span>
        )}{' '}
        {row.urgency === null ? null : <UrgencyTag urgency={row.urgency} words={words} />}{' '}
        {row.isStopped ? <span class="meta">{words.say('children.stopped')}</span> : null}{' '}
        {row.isUnreachable ? <span class="meta">{words.say('children.unreachable')}</span> : null}
      </div>
    </li>
  );
}

function address(choice: ChildrenChoice, page: number): string {
  const query = new URLSearchParams();
  if (choice.find !== '') query.set('find', choice.find);
  if (choice.phase !== null) query.set('phase', choice.phase);
  if (choice.isOverdue) query.set('overdue', '1');
  query.set('page', String(page));
  return `/children?${query}`;
}
