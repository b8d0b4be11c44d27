import type { FlagRaised } from '../core/model/flag.js';
import type { ChildId, TextInId } from '../core/model/ids.js';
import type { Clinic } from '../store/clinics.js';
import { coGuardians } from '../store/families.js';
import { type About, raise } from '../store/flags.js';
import { lockUnread, markFailed, markRead, textIn } from '../store/inbox.js';
import { addTexts, type NewText } from '../store/outbox.js';
import { joinStoredParts } from '../store/parts.js';
import type { Store } from '../store/store.js';
import type { TextInRow } from '../store/tables.js';
import { inTransaction } from '../store/transaction.js';
import { carryOut, type Follow } from './effects.js';
import { tellQueues } from './follow.js';
import type { Jobs } from './jobs.js';
import { type Sender, senderOf } from './sender.js';
import { localDay } from './sending-hours.js';
import { openTurns, type Turn } from './turn.js';

/**
 * Reads one text a family sent and carries out what it changes, all in one transaction. A text that cannot be read
 * stays; after a few tries it becomes a flag with its own words, so that a person reads it. Returns the instant (ms)
 * at which to try again, or null when it is settled.
 */
export async function read(jobs: Jobs, id: TextInId): Promise<number | null> {
  const row = await textIn(jobs.store, id);
  if (row === undefined || row.state !== 'stored') return null;
  if (row.part_ref !== null && row.part_total !== null) {
    const whole = { ...row, part_ref: row.part_ref, part_total: row.part_total };
    await tellQueues(jobs, { reads: await joinStoredParts(jobs.store, whole, jobs.now()) });
    return null;
  }
  try {
    const follow = await inTransaction(jobs.store, (tx) => readLocked(tx, jobs, id));
    await tellQueues(jobs, follow);
    return null;
  } catch (error) {
    return readFailed(jobs, row, error);
  }
}

async function readLocked(tx: Store, jobs: Jobs, id: TextInId): Promise<Partial<Follow>> {
  const now = jobs.now();
  const text = await lockUnread(tx, id);
  if (text === undefined) return {};
  const sender = await senderOf(tx, text);
  if (sender.guardianId === null) return readUnknown(tx, jobs, text, sender, now);
  const others = await coGuardians(tx, sender.guardianId);
  const turns = await openTurns(tx, jobs.core, [sender.guardianId, ...others], now);
  const turn = turns.get(sender.guardianId);
  if (turn === undefined) return readUnknown(tx, jobs, text, sender, now);
  const reading = jobs.core.readText({
    text: text.body,
    lang: turn.facts.guardian.language,
    asked: turn.facts.asked,
    ...phaseOf(turn),
  });
  const conversation = turn.question;
  const step = jobs.core.onText({ conversation, text: text.body, reading, facts: turn.facts, now });
  const deed = { guardianId: turn.guardianId, who: turn.who, before: conversation, step };
  const childId = childMeant(turn, step);
  const answered = answeredElsewhere(jobs, turn, childId, [...turns.values()], now);
  const deeds = [deed, ...answered].map((one) => ({ ...one, textInId: id, plannedTextId: null }));
  const follow = await carryOut(tx, jobs.core, deeds, now);
  await markRead(tx, id, { reading, guardianId: turn.guardianId, childId }, now);
  return follow;
}

/** The same question stood with the child's other guardian too: one answer is enough, theirs ends without a word. */
function answeredElsewhere(
  jobs: Jobs,
  turn: Turn,
  childId: ChildId | null,
  all: readonly Turn[],
  now: number,
) {
  if (childId === null || turn.question?.childId !== childId) return [];
  return all.flatMap((other) => {
    if (other === turn || other.question?.childId !== childId) return [];
    const conversation = jobs.core.onAnsweredElsewhere({
      facts: other.facts,
      conversation: other.question,
      now,
    });
    const step = { conversation, effects: [] };
    return [{ guardianId: other.guardianId, who: other.who, before: other.question, step }];
  });
}

function phaseOf({ facts }: Turn) {
  const phases = [...new Set(facts.children.map(({ phase }) => phase))];
  const [phase] = phases;
  // Two children in different phases: the reader is told neither.
  return phases.length === 1 && phase != null ? { phase } : {};
}

/** Which child a text was about: the only one, or the one the step named. */
function childMeant({ facts }: Turn, step: ReturnType<Jobs['core']['onText']>): ChildId | null {
  if (facts.children.length === 1) return facts.children[0]?.id ?? null;
  if (step.conversation?.childId != null) return step.conversation.childId;
  for (const effect of step.effects)
    if ('childId' in effect && effect.childId !== null) return effect.childId;
  return null;
}

/** A number nobody knows: the text stands in the queue as such, and the sender is told where to turn. */
async function readUnknown(
  tx: Store,
  jobs: Jobs,
  text: TextInRow,
  sender: Sender,
  now: number,
): Promise<Partial<Follow>> {
  const { clinic } = sender;
  const about = { clinicId: clinic?.id ?? null, childId: null, guardianId: null };
  if (text.from_number === '') {
    const dueAt = jobs.core.dueAt(now, UNREADABLE, clinic);
    await raise(tx, { about: { ...about, number: null }, flag: UNREADABLE, dueAt, textInId: text.id }, now);
    await markRead(tx, text.id, { reading: null, guardianId: null, childId: null }, now);
    return {};
  }
  const reading = jobs.core.readText({ text: text.body });
  const { flag, reply } = jobs.core.onUnknownNumber({ reading, text: text.body, now });
  const dueAt = jobs.core.dueAt(now, flag, clinic);
  await raise(tx, { about: { ...about, number: text.from_number }, flag, dueAt, textInId: text.id }, now);
  await markRead(tx, text.id, { reading, guardianId: null, childId: null }, now);
  if (clinic === null) return {};
  return { sends: await addTexts(tx, [replyToUnknown(jobs, text, clinic, reply, now)], now) };
}

/** One answer a number, kind and day: two machines must not talk to each other for ever. */
function replyToUnknown(
  jobs: Jobs,
  text: TextInRow,
  clinic: Clinic,
  reply: { readonly wording: string; readonly lane: 'safety' | 'answer' },
  now: number,
): NewText {
  const values = { clinic: clinic.name, call: clinic.callNumber, emergency: clinic.emergencyNumber };
  const said = jobs.core.fillWording({ wording: reply.wording, values, language: clinic.language });
  return {
    ...said,
    key: `${reply.wording}:${text.from_number}:${localDay(now, clinic.timeZone)}`,
    clinicId: clinic.id,
    guardianId: null,
    childId: null,
    to: text.from_number,
    kind: 'reply',
    lane: reply.lane,
    promised: reply.lane === 'safety' ? 'at-least-once' : 'at-most-once',
    wording: { key: reply.wording, values },
    ignoresHours: true,
    notBefore: now,
    expiresAt: reply.lane === 'safety' ? null : now + 86_400_000,
  };
}

async function readFailed(jobs: Jobs, row: TextInRow, error: unknown): Promise<number | null> {
  jobs.note('A text could not be read.', error);
  const words = error instanceof Error ? error.message : String(error);
  const isLast = row.attempts + 1 >= jobs.options.readAttempts;
  const now = jobs.now();
  if (!isLast) {
    const attempts = await markFailed(jobs.store, row.id, words, false);
    return now + 1_000 * 2 ** attempts;
  }
  await inTransaction(jobs.store, async (tx) => {
    if ((await markFailed(tx, row.id, words, true)) === 0) return;
    const sender = await senderOf(tx, row);
    const about: About = {
      clinicId: sender.clinic?.id ?? null,
      childId: sender.childIds.length === 1 ? (sender.childIds[0] ?? null) : null,
      guardianId: sender.guardianId,
      number: row.from_number,
    };
    const dueAt = jobs.core.dueAt(now, UNREAD, sender.clinic);
    await raise(tx, { about, flag: UNREAD, dueAt, textInId: row.id }, now);
  });
  return null;
}

/** Common practice, no source: what nobody could read may be anything, so it is read within the hour. */
const UNREAD: FlagRaised = {
  matter: 'unread',
  urgency: 'today',
  rule: 'unread',
  reason: 'This text could not be read by the computer.',
  nextStep: 'Read it yourself and call the family if it says anything about the child.',
  risk: 60,
  limitMinutes: 60,
  signs: [],
  evidence: [],
};

const UNREADABLE: FlagRaised = {
  ...UNREAD,
  rule: 'unreadable-from-gateway',
  reason: 'Something arrived by a gateway in a form nobody here knows.',
  nextStep: 'Look whether it names a family; show it to whoever looks after the computer.',
};
