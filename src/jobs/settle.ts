import type { Gateway, ListedText } from '../gateways/gateway.js';
import { type Answer, recordAnswers } from '../store/hand-over.js';
import { type Unsettled, unsettledTexts } from '../store/unsettled.js';
import type { Jobs } from './jobs.js';

/** The gateway's clock may differ from ours by so much. */
const SKEW_MS = 5 * 60_000;
/** Hand-overs looked at in one pass. */
const AT_ONCE = 500;

/**
 * Settles hand-overs without an answer, once they are older than the gateway's own time-out:
 * 1. a delivery report has already moved the text on: nothing to do, it is not even found here;
 * 2. the gateway's own list shows it: accepted, with the id it has there; the list was read and does not: it never left,
 *    and goes again as any text that waits;
 * 3. without a list its promise decides. `at-least-once` goes again (this is the one place where a family may read a text
 *    twice: it went out, and neither answer, report nor list told of it); `at-most-once` becomes `unknown`.
 */
export async function settleHandOvers(jobs: Jobs): Promise<number> {
  const open = await unsettledTexts(jobs.store, jobs.options.settleAfterMs, AT_ONCE);
  for (const name of new Set(open.map((text) => text.gateway))) {
    const texts = open.filter((text) => text.gateway === name);
    const listed = await listOf(jobs, jobs.ways.byName(name), texts);
    const now = jobs.now();
    await recordAnswers(
      jobs.store,
      texts.map((text) => verdict(jobs, text, listed, now)),
      now,
    );
  }
  return open.length;
}

/** Null: the gateway keeps no list, or could not be asked. */
async function listOf(
  jobs: Jobs,
  gateway: Gateway | null,
  texts: readonly Unsettled[],
): Promise<readonly ListedText[] | null> {
  if (gateway?.list === undefined) return null;
  const since = Math.min(...texts.map((text) => text.handedOverAt)) - SKEW_MS;
  try {
    return (await gateway.list(since)).sent;
  } catch (error) {
    jobs.note(`The gateway ${gateway.name} could not be asked what it has sent.`, error);
    return null;
  }
}

function verdict(jobs: Jobs, text: Unsettled, listed: readonly ListedText[] | null, now: number): Answer {
  const none = { id: text.id, providerId: null, parts: null, failure: null, nextTryAt: null };
  const found = listed?.find((one) => isSame(one, text));
  if (found !== undefined) {
    return {
      ...none,
      state: 'accepted',
      providerId: found.providerId,
      detail: "found in the gateway's own list",
    };
  }
  const isStale = text.expiresAt !== null && text.expiresAt <= now;
  const mayRepeat = listed !== null || text.promised === 'at-least-once';
  if (!mayRepeat || isStale || text.attempts >= jobs.options.sendAttempts) {
    return { ...none, state: 'unknown', detail: 'no answer from the gateway: it may have gone out' };
  }
  const why =
    listed === null ? 'no answer from the gateway, and it must not be missed' : 'the gateway never got it';
  return {
    ...none,
    state: 'queued',
    nextTryAt: now,
    detail: `sent again (attempt ${text.attempts + 1}): ${why}`,
  };
}

function isSame(one: ListedText, text: Unsettled): boolean {
  if (one.ourId !== undefined) return one.ourId === text.id;
  const at = Date.parse(one.at);
  const isNear = Number.isNaN(at) || Math.abs(at - text.handedOverAt) < SKEW_MS;
  return one.to === text.to && one.body === text.body && isNear;
}
