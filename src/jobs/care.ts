import type { FlagRaised } from '../core/model/flag.js';
import type { GuardianId } from '../core/model/ids.js';
import { caredFor, lockTextsNeedingCare, sendAgain, stuckSafetyTexts } from '../store/care.js';
import { clinicOf } from '../store/clinics.js';
import { factsOf } from '../store/facts.js';
import { aboutKey, openFlagOf, raise } from '../store/flags.js';
import { addTexts, type Waiting } from '../store/outbox.js';
import { lockAnyPlanned } from '../store/planned.js';
import { markReachable, nextGuardian } from '../store/reach.js';
import { stopNumber } from '../store/stops.js';
import type { Store } from '../store/store.js';
import type { TextOutRow } from '../store/tables.js';
import { inTransaction } from '../store/transaction.js';
import { planForOther } from './check-in.js';
import { tellQueues } from './follow.js';
import type { Jobs } from './jobs.js';
import type { JobData } from './queues.js';

/** A phone that did not answer is tried again after 10, then 20 minutes. Common practice, no source. */
const RETRY_MS = 10 * 60_000;
const REACH_ATTEMPTS = 3;
/** A safety text no gateway has taken after so long is a matter for a person. Common practice, no source. */
const STUCK_MS = 10 * 60_000;

interface Done {
  readonly sends: Waiting[];
  readonly planned: JobData[];
}

/**
 * Sees to texts that failed: a phone that may answer later is tried again; one that cannot be reached becomes a flag,
 * and the child's other guardian is told instead. Returns how many texts it saw to.
 */
export async function careForFailed(jobs: Jobs): Promise<number> {
  const now = jobs.now();
  const { done, count } = await inTransaction(jobs.store, async (tx) => {
    // Made anew inside, because the transaction may be run again.
    const done: Done = { sends: [], planned: [] };
    const texts = await lockTextsNeedingCare(tx, 100);
    for (const text of texts) await careFor(tx, jobs, text, done, now);
    return { done, count: texts.length };
  });
  await tellQueues(jobs, done);
  await flagStuck(jobs, now);
  return count;
}

async function careFor(tx: Store, jobs: Jobs, text: TextOutRow, done: Done, now: number): Promise<void> {
  await caredFor(tx, text.id);
  if (text.failure === 'out-of-credit' || text.failure === 'not-allowed') {
    await flagText(tx, jobs, text, gatewayRefuses(text), now);
    return;
  }
  if (text.state === 'unknown') {
    if (text.lane === 'safety') await flagText(tx, jobs, text, unreachable('may not have arrived'), now);
    return;
  }
  if (text.state !== 'failed') return;
  if (text.failure === 'too-long') {
    await flagText(tx, jobs, text, tooLong(text), now);
    return;
  }
  const isStale = text.expires_at !== null && text.expires_at.getTime() <= now;
  if (text.failure === 'unreachable' && text.attempts < REACH_ATTEMPTS && !isStale) {
    const nextTryAt = now + RETRY_MS * text.attempts;
    await sendAgain(tx, text.id, nextTryAt, now);
    done.sends.push({ id: text.id, lane: text.lane, at: nextTryAt });
    return;
  }
  await giveUpNumber(tx, jobs, text, done, now);
}

async function giveUpNumber(tx: Store, jobs: Jobs, text: TextOutRow, done: Done, now: number): Promise<void> {
  if (text.failure === 'opted-out') await stopNumber(tx, text.to_number, 'opted-out', now);
  else await markReachable(tx, text.to_number, now);
  await flagText(tx, jobs, text, unreachable(WHY[text.failure ?? ''] ?? 'was not delivered'), now);
  if (text.expires_at !== null && text.expires_at.getTime() <= now) return;
  if (text.child_id === null || text.guardian_id === null) return;
  if (text.planned_text_id !== null) {
    const planned = await lockAnyPlanned(tx, text.planned_text_id);
    const id = planned === undefined ? null : await planForOther(tx, planned, now);
    if (id !== null) done.planned.push({ id, at: now });
    return;
  }
  const other = await nextGuardian(tx, text.child_id, text.guardian_id);
  if (other !== null) done.sends.push(...(await sayToOther(tx, jobs, text, other, now)));
}

/** The same words in the other guardian's language; words a nurse wrote stay as they are. */
async function sayToOther(
  tx: Store,
  jobs: Jobs,
  text: TextOutRow,
  guardianId: GuardianId,
  now: number,
): Promise<readonly Waiting[]> {
  const who = (await factsOf(tx, [guardianId], jobs.core.standingOf, now)).get(guardianId);
  if (who === undefined) return [];
  const wording = text.wording === null ? null : { key: text.wording, values: text.wording_values };
  const said =
    wording === null
      ? { body: text.body, language: text.language }
      : jobs.core.fillWording({
          wording: wording.key,
          values: wording.values,
          language: who.facts.guardian.language,
        });
  const copy = {
    ...said,
    key: `${text.key}-other-${guardianId}`,
    clinicId: text.clinic_id,
    guardianId,
    childId: text.child_id,
    flagId: text.flag_id,
    to: who.number,
    kind: text.kind,
    lane: text.lane,
    promised: text.promised,
    wording,
    ignoresHours: text.ignores_hours,
    notBefore: now,
    expiresAt: text.expires_at?.getTime() ?? null,
  };
  return addTexts(tx, [copy], now);
}

async function flagStuck(jobs: Jobs, now: number): Promise<void> {
  for (const text of await stuckSafetyTexts(jobs.store, now - STUCK_MS, 50)) {
    await inTransaction(jobs.store, (tx) =>
      flagText(tx, jobs, text, unreachable('has not gone out for ten minutes'), now),
    );
  }
}

/** Raises a flag about a text, unless one of the same rule stands already: a stuck gateway fails many texts. */
async function flagText(
  tx: Store,
  jobs: Jobs,
  text: TextOutRow,
  flag: FlagRaised,
  now: number,
): Promise<void> {
  const isAboutGateway = flag.matter === 'system';
  const about = {
    clinicId: text.clinic_id,
    childId: isAboutGateway ? null : text.child_id,
    guardianId: isAboutGateway ? null : text.guardian_id,
    number: isAboutGateway ? null : text.to_number,
  };
  const open = await openFlagOf(tx, aboutKey(about), flag.matter);
  if (open?.rule === flag.rule && open.reason === flag.reason) return;
  const clinic = text.clinic_id === null ? null : await clinicOf(tx, text.clinic_id);
  await raise(tx, { about, flag, dueAt: jobs.core.dueAt(now, flag, clinic), textInId: null }, now);
}

const WHY: Readonly<Record<string, string>> = {
  'wrong-number': 'went to a number that is not in use',
  'opted-out': 'was refused: the family told its provider to stop texts',
  unreachable: 'did not reach the phone, tried several times',
};

/** Limits: common practice, no source. */
function unreachable(what: string): FlagRaised {
  return {
    matter: 'unreachable',
    urgency: 'today',
    rule: 'unreachable',
    reason: `A text ${what}.`,
    nextStep: 'Call the family on another number; ask for a number that works.',
    risk: 40,
    limitMinutes: 240,
    signs: [],
    evidence: [],
  };
}

function tooLong(text: TextOutRow): FlagRaised {
  const reason = `A text (${text.kind}) is too long for the gateway ${text.gateway ?? ''}.`;
  const nextStep = 'Shorten its wording; call the family about what it said.';
  return { ...unreachable(''), rule: 'too-long', reason, nextStep };
}

function gatewayRefuses(text: TextOutRow): FlagRaised {
  const why = text.failure === 'out-of-credit' ? 'is out of credit' : 'does not allow us to send';
  return {
    matter: 'system',
    urgency: 'now',
    rule: `gateway-${text.failure}`,
    reason: `The gateway ${text.gateway ?? ''} ${why}: no text leaves the clinic through it.`,
    nextStep: 'Pay or ask the provider; until then call families who wait for an answer.',
    risk: 90,
    limitMinutes: 30,
    signs: [],
    evidence: [],
  };
}
