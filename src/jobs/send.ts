import type { TextOutId } from '../core/model/ids.js';
import { segments } from '../core/texts/segments.js';
import type { Gateway, SendResult } from '../gateways/gateway.js';
import { takeFromBudget } from '../store/budget.js';
import type { Clinic } from '../store/clinics.js';
import { type Answer, handOver, recordAnswers } from '../store/hand-over.js';
import { endTexts, postpone, type WaitingText, waitingTexts } from '../store/outbox.js';
import { noteUnanswered } from '../store/unsettled.js';
import { answerOf } from './answers.js';
import { clinicsByTime } from './clinic-cache.js';
import { coalesce } from './coalesce.js';
import type { Jobs } from './jobs.js';
import { type MayGo, mayGo } from './may-go.js';
import { localDay, nextLocalDay } from './sending-hours.js';
import { nextSlot } from './slots.js';

/** Null: done with. Else when to look again: on toeline's clock, or after so long by the wall. */
export type SendAgain =
  | { readonly until: number }
  | { readonly afterMs: number; readonly hasSlot: boolean }
  | null;

/** Slots are not drawn further ahead than this: what is more important and comes later must not wait behind. */
const SLOT_AHEAD_MS = 30_000;
/** No gateway can take it now. */
const NO_WAY_MS = 30_000;

/**
 * Sends texts, one call a text; what is asked of the database for many at the same moment goes in one statement.
 * "Handed over" is committed before the gateway is called; what it answers is recorded after. Between the two a crash
 * leaves a row that `settle.ts` sees to.
 */
export function sender(jobs: Jobs): (id: TextOutId, hasSlot: boolean) => Promise<SendAgain> {
  const clinicOf = clinicsByTime(jobs.store);
  const load = coalesce(async (ids: readonly TextOutId[]) => {
    const found = await waitingTexts(jobs.store, ids);
    return ids.map((id) => found.get(id) ?? null);
  });
  const hand = coalesce(async (texts: readonly { id: TextOutId; gateway: string }[]) => {
    const taken = await handOver(jobs.store, texts, jobs.now());
    return texts.map(({ id }) => taken.has(id));
  });
  const record = coalesce(async (answers: readonly Answer[]) => {
    await recordAnswers(jobs.store, answers, jobs.now());
    return answers.map(() => null);
  });
  const end = coalesce(
    async (ended: readonly { id: TextOutId; state: 'dropped' | 'withdrawn'; why: string }[]) => {
      await endTexts(jobs.store, ended, jobs.now());
      return ended.map(() => null);
    },
  );
  const later = coalesce(async (texts: readonly { id: TextOutId; until: number }[]) => {
    await postpone(jobs.store, texts);
    return texts.map(() => null);
  });

  const hold = async (text: WaitingText, verdict: Exclude<MayGo, { kind: 'go' }>): Promise<SendAgain> => {
    if (verdict.kind === 'end') {
      await end({ id: text.id, state: verdict.state, why: verdict.why });
      return null;
    }
    // What was known already need not be written again.
    if (verdict.until !== (text.next_try_at ?? text.not_before).getTime()) {
      await later({ id: text.id, until: verdict.until });
    }
    return { until: verdict.until };
  };

  return async (id, hasSlot) => {
    const text = await load(id);
    if (text === null) return null;
    const now = jobs.now();
    const clinic = text.clinic_id === null ? null : await clinicOf(text.clinic_id);
    const verdict = mayGo(text, clinic, now);
    if (verdict.kind !== 'go') return hold(text, verdict);
    const gateway = jobs.ways.choose(text.to_number);
    if (gateway === null) return { afterMs: NO_WAY_MS, hasSlot: false };
    if (!hasSlot) {
      const slot = await slotFor(jobs, text, clinic);
      if (slot === null) return { afterMs: SLOT_AHEAD_MS * (0.5 + Math.random()), hasSlot: false };
      if (slot > 0) return { afterMs: slot, hasSlot: true };
    }
    const tomorrow = await overBudget(jobs, text, clinic, now);
    if (tomorrow !== null) return hold(text, { kind: 'wait', until: tomorrow });
    if (!(await hand({ id, gateway: gateway.name }))) return null;
    return settleAnswer(jobs, text, gateway, record);
  };
}

async function settleAnswer(
  jobs: Jobs,
  text: WaitingText,
  gateway: Gateway,
  record: (answer: Answer) => Promise<null>,
): Promise<SendAgain> {
  const result = await sendThrough(jobs, gateway, text);
  jobs.ways.went?.(gateway.name, result.kind);
  if (result.kind === 'unknown') {
    await noteUnanswered(jobs.store, [{ id: text.id, words: result.words }], jobs.now());
    return null;
  }
  const answer = answerOf(text, result, jobs.now());
  await record(answer);
  return answer.nextTryAt === null ? null : { until: answer.nextTryAt };
}

/** A gateway always answers by its contract; one that breaks it, or takes too long, has left it open. */
async function sendThrough(jobs: Jobs, gateway: Gateway, text: WaitingText): Promise<SendResult> {
  const now = jobs.now();
  const validForSeconds =
    text.expires_at === null ? null : Math.ceil((text.expires_at.getTime() - now) / 1_000);
  let timer: NodeJS.Timeout | undefined;
  const tooLate = new Promise<SendResult>((resolve) => {
    const words = `no answer within ${jobs.options.gatewayTimeoutMs / 1_000} s`;
    timer = setTimeout(() => resolve({ kind: 'unknown', words }), jobs.options.gatewayTimeoutMs);
  });
  try {
    const outbound = { id: text.id, to: text.to_number, body: text.body };
    const sent = gateway.send(validForSeconds === null ? outbound : { ...outbound, validForSeconds });
    return await Promise.race([sent, tooLate]);
  } catch (error) {
    jobs.note(`The gateway ${gateway.name} threw instead of answering.`, error);
    return { kind: 'unknown', words: error instanceof Error ? error.message : String(error) };
  } finally {
    clearTimeout(timer);
  }
}

async function slotFor(jobs: Jobs, text: WaitingText, clinic: Clinic | null): Promise<number | null> {
  const textsPerSecond = clinic?.settings.textsPerSecond ?? null;
  if (clinic === null || textsPerSecond === null) return 0;
  return nextSlot(jobs.queues.redis, jobs.queues.prefix, {
    line: clinic.id,
    textsPerSecond,
    cost: segments(text.body).parts.length,
    isUrgent: text.lane === 'safety',
    longestWaitMs: SLOT_AHEAD_MS,
  });
}

/** The next local day (ms) when the clinic's budget of today is used up; null: this text may go. */
async function overBudget(
  jobs: Jobs,
  text: WaitingText,
  clinic: Clinic | null,
  now: number,
): Promise<number | null> {
  if (clinic === null || clinic.settings.textsPerDay === null) return null;
  const mayExceed = text.lane === 'safety' || text.lane === 'answer';
  const day = localDay(now, clinic.timeZone);
  const most = mayExceed ? null : clinic.settings.textsPerDay;
  const granted = await takeFromBudget(jobs.store, clinic.id, day, 1, most);
  return granted > 0 ? null : nextLocalDay(now, clinic.timeZone);
}
