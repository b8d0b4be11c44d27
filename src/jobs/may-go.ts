import type { Clinic } from '../store/clinics.js';
import type { WaitingText } from '../store/outbox.js';
import { shareOf } from '../store/spread.js';
import { nextSendingTime } from './sending-hours.js';

export type MayGo =
  | { readonly kind: 'go' }
  | { readonly kind: 'wait'; readonly until: number }
  | { readonly kind: 'end'; readonly state: 'dropped' | 'withdrawn'; readonly why: string };

type Text = Pick<
  WaitingText,
  | 'id'
  | 'lane'
  | 'not_before'
  | 'next_try_at'
  | 'expires_at'
  | 'ignores_hours'
  | 'is_number_stopped'
  | 'is_child_stopped'
  | 'quiet_until'
>;

/**
 * Whether a text may go at `now` (ms): not before its time, never after it, inside the clinic's sending hours, not to
 * somebody who wants none. Safety texts pass everything but their own time; answers pass all but the hours, unless they
 * too are marked to ignore them. Texts held overnight are spread over the clinic's minutes after opening. Pure.
 */
export function mayGo(text: Text, clinic: Clinic | null, now: number): MayGo {
  const earliest = (text.next_try_at ?? text.not_before).getTime();
  const expires = text.expires_at?.getTime() ?? Number.POSITIVE_INFINITY;
  if (expires <= now) return { kind: 'end', state: 'dropped', why: 'its time had passed before it could go' };
  if (earliest > now) return waitUntil(earliest, expires);
  if (text.lane === 'visit' || text.lane === 'check-in') {
    if (text.is_number_stopped) return withdrawn('texts to this number are stopped');
    if (text.is_child_stopped) return withdrawn('texts about this child are stopped');
    const quietUntil = text.quiet_until?.getTime() ?? 0;
    if (quietUntil > now) return waitUntil(quietUntil, expires);
  }
  if (text.ignores_hours || text.lane === 'safety' || clinic === null) return { kind: 'go' };
  const next = nextSendingTime(now, clinic);
  if (next === now) return { kind: 'go' };
  return waitUntil(next + Math.floor(shareOf(text.id) * clinic.settings.spreadMinutes * 60_000), expires);
}

function waitUntil(until: number, expires: number): MayGo {
  if (until < expires) return { kind: 'wait', until };
  return { kind: 'end', state: 'dropped', why: 'its time passes before it may go' };
}

function withdrawn(why: string): MayGo {
  return { kind: 'end', state: 'withdrawn', why };
}
