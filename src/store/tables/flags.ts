import type { Selectable } from 'kysely';
import type { FlagOutcome, FlagState, Matter } from '../../core/model/flag.js';
import type { ChildId, ClinicId, FlagId, GuardianId, StaffId, TextInId } from '../../core/model/ids.js';
import type { Evidence } from '../../core/model/reading.js';
import type { Sign, Urgency } from '../../core/model/signs.js';
import type { Default, DefaultJson, Nullable } from './columns.js';

export type FlagUrgency = Exclude<Urgency, 'none'>;

export interface FlagTable {
  id: FlagId;
  clinic_id: Nullable<ClinicId>;
  child_id: Nullable<ChildId>;
  guardian_id: Nullable<GuardianId>;
  number: Nullable<string>;
  about: string;
  matter: Matter;
  urgency: FlagUrgency;
  rule: string;
  reason: string;
  next_step: string;
  risk: Default<number>;
  state: Default<FlagState>;
  opened_at: Date;
  due_at: Date;
  urgency_at: Date;
  taken_by: Nullable<StaffId>;
  taken_at: Nullable<Date>;
  closed_by: Nullable<StaffId>;
  closed_at: Nullable<Date>;
  outcome: Nullable<FlagOutcome>;
  escalated_step: Default<number>;
  escalate_at: Nullable<Date>;
  first_action_at: Nullable<Date>;
  is_family_to_be_told: Default<boolean>;
}

export const FLAG_EVENT_KINDS = [
  'raised',
  'again',
  'worse',
  'added',
  'taken',
  'handed-over',
  'noted',
  'texted',
  'closed',
  'reopened',
  'escalated',
  'corrected',
] as const;

export type FlagEventKind = (typeof FLAG_EVENT_KINDS)[number];

export interface FlagEventTable {
  id: string;
  flag_id: FlagId;
  at: Date;
  kind: FlagEventKind;
  staff_id: Nullable<StaffId>;
  text_in_id: Nullable<TextInId>;
  urgency: Nullable<FlagUrgency>;
  note: Nullable<string>;
  signs: Default<Sign[]>;
  evidence: DefaultJson<Evidence[]>;
}

export type FlagRow = Selectable<FlagTable>;
