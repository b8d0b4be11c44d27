import type { FlagId, StaffId, TextInId } from '../core/model/ids.js';
import type { Evidence } from '../core/model/reading.js';
import type { Sign } from '../core/model/signs.js';
import { at, type Store } from './store.js';
import type { FlagEventKind, FlagUrgency } from './tables.js';

export interface FlagEvent {
  readonly flagId: FlagId;
  readonly at: number;
  readonly kind: FlagEventKind;
  readonly staffId?: StaffId | null;
  readonly textInId?: TextInId | null;
  readonly urgency?: FlagUrgency | null;
  readonly note?: string | null;
  readonly signs?: readonly Sign[];
  readonly evidence?: readonly Evidence[];
}

/** Adds a line to a flag's history. The history only grows. */
export async function addFlagEvent(tx: Store, event: FlagEvent): Promise<void> {
  await tx.db
    .insertInto('flag_event')
    .values({
      id: tx.newId<string>(),
      flag_id: event.flagId,
      at: at(event.at),
      kind: event.kind,
      staff_id: event.staffId ?? null,
      text_in_id: event.textInId ?? null,
      urgency: event.urgency ?? null,
      note: event.note ?? null,
      signs: [...(event.signs ?? [])],
      evidence: JSON.stringify(event.evidence ?? []),
    })
    .execute();
}
