import { FLAG_OUTCOMES } from '../../../core/model/flag.js';
import type { ClinicId, FlagId, StaffId } from '../../../core/model/ids.js';
import { writeAudit } from '../../../store/audit.js';
import { addNote, close, type FlagDone, handOver, take } from '../../../store/flag-work.js';
import { textFamily } from '../../../store/nurse-texts.js';
import type { FlagPageRow } from '../../../store/views/types.js';
import { isId } from '../../form.js';
import type { Answer, Ask, PageRoute } from '../../page.js';
import type { Fault } from '../../parts/fault.js';
import { ownPath } from '../../security.js';
import { FlagPage } from './view.js';

export const flagRoutes: readonly PageRoute[] = [
  { method: 'GET', path: '/flags/:id', needs: 'see-flags', answer: (ask) => showFlag(ask, null) },
  { method: 'POST', path: '/flags/:id/take', needs: 'act-on-flags', answer: takeFlag },
  { method: 'POST', path: '/flags/:id/note', needs: 'act-on-flags', answer: noteFlag },
  { method: 'POST', path: '/flags/:id/hand-over', needs: 'act-on-flags', answer: handOverFlag },
  { method: 'POST', path: '/flags/:id/reply', needs: 'act-on-flags', answer: replyByText },
  { method: 'POST', path: '/flags/:id/close', needs: 'act-on-flags', answer: closeFlag },
];

async function find(ask: Ask): Promise<FlagPageRow | null> {
  const id = ask.params.id ?? '';
  return isId(id) ? ask.deps.views.flagPage({ id, clinicId: ask.clinicId }) : null;
}

/** A flag with its history; looking at it is written down. */
async function showFlag(ask: Ask, fault: Fault | null): Promise<Answer> {
  const flag = await find(ask);
  if (flag === null) return { kind: 'missing' };
  const [said, colleagues] = await Promise.all([
    flag.child !== null
      ? ask.deps.views.saidAboutChild(flag.child.id, 30)
      : flag.number === null
        ? []
        : ask.deps.views.saidWithNumber(flag.number, 30),
    ask.deps.views.colleagues(flag.clinicId),
    writeAudit(ask.deps.store, {
      actor: ask.staff.id as StaffId,
      action: 'looked-at-flag',
      subject: flag.child === null ? `flag:${flag.id}` : `child:${flag.child.id}`,
      clinicId: flag.clinicId as ClinicId | null,
      detail: { flag: flag.id },
      at: ask.now,
    }),
  ]);
  return {
    kind: 'page',
    under: 'queue',
    status: fault === null ? 200 : 409,
    title: flag.child?.name ?? ask.words.say('flag.unknown-number'),
    body: FlagPage({ ask, flag, said, colleagues, fault }),
  };
}

async function takeFlag(ask: Ask): Promise<Answer> {
  const flag = await find(ask);
  if (flag === null) return { kind: 'missing' };
  const answer = await take(ask.deps.store, ...deed(ask, flag), ask.now);
  if (answer.kind !== 'done') return told(ask, answer);
  const back = ownPath(ask.form.get('back'), '');
  return back === ''
    ? { kind: 'go', to: `/flags/${flag.id}`, said: 'taken' }
    : { kind: 'go', to: `${back}#f${flag.id}`, said: 'taken' };
}

async function noteFlag(ask: Ask): Promise<Answer> {
  const flag = await find(ask);
  if (flag === null) return { kind: 'missing' };
  const note = ask.form.get('note');
  if (note === '') return showFlag(ask, { key: 'flag.fault-note' });
  const answer = await addNote(ask.deps.store, ...deed(ask, flag), note, ask.now);
  return answer.kind === 'done' ? { kind: 'go', to: `/flags/${flag.id}`, said: 'noted' } : told(ask, answer);
}

/** Answers the family by text, or only counts the parts. */
async function replyByText(ask: Ask): Promise<Answer> {
  const flag = await find(ask);
  if (flag === null) return { kind: 'missing' };
  if (ask.form.get('do') === 'count') return showFlag(ask, null);
  const body = ask.form.get('body');
  if (body === '' || body.length > 800) return showFlag(ask, { key: 'reply.fault-body' });
  const [flagId, by] = deed(ask, flag);
  const wanted = { flagId, by, body, formId: ask.form.get('form').slice(0, 64) };
  const answer = await textFamily(ask.deps.store, wanted, ask.now);
  switch (answer.kind) {
    case 'done':
      ask.deps.onTextsWaiting?.();
      return { kind: 'go', to: `/flags/${flag.id}`, said: 'texted' };
    case 'sent-before':
      return { kind: 'go', to: `/flags/${flag.id}`, said: 'texted' };
    case 'stopped':
      return showFlag(ask, { key: 'reply.fault-stopped' });
    case 'no-number':
      return showFlag(ask, { key: 'reply.fault-number' });
    default:
      return showFlag(ask, { key: 'flag.fault-gone' });
  }
}

async function handOverFlag(ask: Ask): Promise<Answer> {
  const flag = await find(ask);
  if (flag === null) return { kind: 'missing' };
  const colleagues = await ask.deps.views.colleagues(flag.clinicId);
  const to = colleagues.find((person) => person.id === ask.form.get('to'));
  if (to === undefined) return showFlag(ask, { key: 'flag.fault-to' });
  const answer = await handOver(
    ask.deps.store,
    ...deed(ask, flag),
    to.id as StaffId,
    orNull(ask.form.get('note')),
    ask.now,
  );
  return answer.kind === 'done' ? { kind: 'go', to: '/queue', said: 'handed-over' } : told(ask, answer);
}

async function closeFlag(ask: Ask): Promise<Answer> {
  const flag = await find(ask);
  if (flag === null) return { kind: 'missing' };
  const outcome = FLAG_OUTCOMES.find((o) => o === ask.form.get('outcome'));
  if (outcome === undefined) return showFlag(ask, { key: 'flag.fault-outcome' });
  const answer = await close(
    ask.deps.store,
    ...deed(ask, flag),
    outcome,
    orNull(ask.form.get('note')),
    ask.now,
  );
  return answer.kind === 'done' ? { kind: 'go', to: '/queue', said: 'closed' } : told(ask, answer);
}

const deed = (ask: Ask, flag: FlagPageRow): [FlagId, StaffId] => [flag.id as FlagId, ask.staff.id as StaffId];
const orNull = (text: string) => (text === '' ? null : text);

/** Somebody else was first: the flag as it stands now, with who has it. */
function told(ask: Ask, answer: Exclude<FlagDone, { kind: 'done' }>): Promise<Answer> {
  if (answer.kind === 'already-taken') {
    return showFlag(ask, { key: 'flag.fault-taken', values: { name: answer.byName } });
  }
  return showFlag(ask, { key: 'flag.fault-gone' });
}
