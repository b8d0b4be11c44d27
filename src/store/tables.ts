import type { ColumnType, Insertable, Selectable } from 'kysely';
import type { FlagOutcome, FlagState, Matter } from '../core/model/flag.js';
import type {
  ChildId,
  ClinicId,
  FlagId,
  GuardianId,
  PlannedTextId,
  StaffId,
  TextInId,
  TextOutId,
} from '../core/model/ids.js';
import type { Evidence, Reading } from '../core/model/reading.js';
import type { Asked, Sign, Urgency } from '../core/model/signs.js';
import type { CourseTextKind, Lane, Promised, TextState } from '../core/model/texts.js';

/** The columns of `migrations/`, as Kysely sees them. `Date` is an instant, a date without a clock is an ISO string. */

/** A column the database fills when it is left out. */
type Default<T> = ColumnType<T, T | undefined, T>;
type Nullable<T> = ColumnType<T | null, T | null | undefined, T | null>;
/** jsonb: read as data, written as JSON text, because the driver would turn an array into a PostgreSQL array. */
type Json<T> = ColumnType<T, string, string>;
type DefaultJson<T> = ColumnType<T, string | undefined, string>;
type NullableJson<T> = ColumnType<T | null, string | null | undefined, string | null>;

export type StaffRole = 'nurse' | 'clinician' | 'coordinator' | 'administrator';
export type VisitStatus = 'kept' | 'missed' | 'overdue' | 'due' | 'planned';
export type Foot = 'left' | 'right';
export type FlagUrgency = Exclude<Urgency, 'none'>;

export interface ClinicTable {
  id: ClinicId;
  name: string;
  time_zone: string;
  country: string;
  language: Default<string>;
  clinic_days: string[];
  sending_from: Default<string>;
  sending_to: Default<string>;
  opens: Default<string>;
  closes: Default<string>;
  /** ISO dates on which the clinic is closed. */
  closures: DefaultJson<string[]>;
  call_number: string;
  emergency_number: string;
  protocol: Default<string>;
  settings: DefaultJson<unknown>;
  created_at: Date;
}

export interface StaffTable {
  id: StaffId;
  clinic_id: Nullable<ClinicId>;
  name: string;
  role: StaffRole;
  phone: Nullable<string>;
  language: Default<string>;
  is_active: Default<boolean>;
  created_at: Date;
}

export interface SignInLinkTable {
  token_hash: string;
  staff_id: StaffId;
  created_at: Date;
  expires_at: Date;
  used_at: Nullable<Date>;
}

export interface ChildTable {
  id: ChildId;
  clinic_id: ClinicId;
  given_name: string;
  family_name: Nullable<string>;
  called_in_texts: string;
  born: string;
  weeks_early: Default<number>;
  feet: Foot[];
  protocol: string;
  travel_hours: Nullable<number>;
  is_texting_stopped: Default<boolean>;
  texting_stopped_why: Nullable<string>;
  phase: Default<string>;
  planned_until: Default<Date>;
  version: Default<number>;
  created_at: Date;
  updated_at: Date;
}

export interface PhoneNumberTable {
  number: string;
  is_stopped: Default<boolean>;
  stopped_why: Nullable<string>;
  stopped_at: Nullable<Date>;
  quiet_until: Nullable<Date>;
  unreachable_since: Nullable<Date>;
}

export interface GuardianTable {
  id: GuardianId;
  clinic_id: ClinicId;
  name: string;
  number: string;
  language: string;
  reads: Default<boolean>;
  chosen_hour: Nullable<string>;
  consent_text: Nullable<string>;
  consent_on: Nullable<string>;
  consent_by: Nullable<string>;
  created_at: Date;
}

export interface ChildGuardianTable {
  child_id: ChildId;
  guardian_id: GuardianId;
  relation: Default<string>;
  rank: Default<number>;
}

export interface CourseEventTable {
  id: string;
  child_id: ChildId;
  type: string;
  on_date: string;
  body: Json<Record<string, unknown>>;
  recorded_by: Nullable<StaffId>;
  recorded_at: Date;
  replaced_by: Nullable<string>;
  is_withdrawn: Default<boolean>;
}

export interface VisitTable {
  child_id: ChildId;
  clinic_id: ClinicId;
  kind: string;
  due: string;
  window_from: string;
  window_to: string;
  status: VisitStatus;
}

export interface PlannedTextTable {
  id: PlannedTextId;
  clinic_id: ClinicId;
  child_id: ChildId;
  guardian_id: GuardianId;
  kind: CourseTextKind;
  for_what: string;
  due_at: Date;
  expires_at: Date;
  state: Default<'planned' | 'sent' | 'dropped' | 'withdrawn'>;
  note: Nullable<string>;
}

export interface ConversationTable {
  id: string;
  guardian_id: GuardianId;
  child_id: Nullable<ChildId>;
  check_in: string;
  version: string;
  snapshot: Json<unknown>;
  state: 'asking' | 'done';
  asked: Default<Asked>;
  wake_at: Nullable<Date>;
  wake_reason: Nullable<'repeat' | 'silence' | 'follow-up'>;
  started_at: Date;
  updated_at: Date;
}

export interface CheckInDefinitionTable {
  check_in: string;
  version: string;
  body: Json<unknown>;
  first_used_at: Date;
}

export interface TextInTable {
  id: TextInId;
  gateway: string;
  provider_id: string;
  from_number: string;
  to_number: string;
  /** What people read: NUL and lone surrogates made visible. */
  body: string;
  /** What arrived, every byte, escaped where PostgreSQL cannot hold it. */
  raw: string;
  part_ref: Nullable<number>;
  part_number: Nullable<number>;
  part_total: Nullable<number>;
  sent_at: Nullable<Date>;
  received_at: Date;
  state: Default<'stored' | 'read' | 'failed' | 'joined'>;
  attempts: Default<number>;
  error: Nullable<string>;
  guardian_id: Nullable<GuardianId>;
  child_id: Nullable<ChildId>;
  reading: NullableJson<Reading>;
  read_at: Nullable<Date>;
  joined_into: Nullable<TextInId>;
  note: Nullable<string>;
}

export interface TextOutTable {
  id: TextOutId;
  key: string;
  clinic_id: Nullable<ClinicId>;
  guardian_id: Nullable<GuardianId>;
  child_id: Nullable<ChildId>;
  flag_id: Nullable<FlagId>;
  to_number: string;
  kind: string;
  lane: Lane;
  promised: Promised;
  language: string;
  body: string;
  wording: Nullable<string>;
  wording_values: DefaultJson<Record<string, string>>;
  planned_text_id: Nullable<PlannedTextId>;
  ignores_hours: Default<boolean>;
  not_before: Date;
  expires_at: Nullable<Date>;
  state: Default<TextState>;
  gateway: Nullable<string>;
  provider_id: Nullable<string>;
  attempts: Default<number>;
  next_try_at: Nullable<Date>;
  parts: Nullable<number>;
  error: Nullable<string>;
  created_at: Date;
  state_at: Date;
  handed_over_at: Nullable<Date>;
  failure: Nullable<string>;
  needs_care: Default<boolean>;
}

export interface TextOutStepTable {
  text_out_id: TextOutId;
  state: TextState;
  at: Date;
  detail: Nullable<string>;
}

export interface DeliveryReportTable {
  id: string;
  gateway: string;
  provider_id: string;
  our_id: Nullable<string>;
  state: string;
  code: Nullable<string>;
  reason: Nullable<string>;
  raw: string;
  received_at: Date;
  text_out_id: Nullable<TextOutId>;
  times: Default<number>;
}

export interface SentOnDayTable {
  clinic_id: ClinicId;
  on_date: string;
  texts: number;
}

export interface WearDayTable {
  child_id: ChildId;
  on_date: string;
  low: number;
  high: number;
  text_in_id: Nullable<TextInId>;
  recorded_at: Date;
}

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

export interface AuditTable {
  number: ColumnType<number, never, never>;
  at: Date;
  actor: string;
  action: string;
  subject: string;
  detail: DefaultJson<Record<string, unknown>>;
  clinic_id: Nullable<ClinicId>;
}

export interface MovedClockTable {
  only_row: Default<boolean>;
  shift_ms: number;
}

export interface Tables {
  clinic: ClinicTable;
  staff: StaffTable;
  sign_in_link: SignInLinkTable;
  child: ChildTable;
  phone_number: PhoneNumberTable;
  guardian: GuardianTable;
  child_guardian: ChildGuardianTable;
  course_event: CourseEventTable;
  visit: VisitTable;
  planned_text: PlannedTextTable;
  conversation: ConversationTable;
  check_in_definition: CheckInDefinitionTable;
  text_in: TextInTable;
  text_out: TextOutTable;
  text_out_step: TextOutStepTable;
  delivery_report: DeliveryReportTable;
  sent_on_day: SentOnDayTable;
  wear_day: WearDayTable;
  flag: FlagTable;
  flag_event: FlagEventTable;
  audit: AuditTable;
  moved_clock: MovedClockTable;
}

export type TextOutRow = Selectable<TextOutTable>;
export type TextInRow = Selectable<TextInTable>;
export type FlagRow = Selectable<FlagTable>;
export type PlannedTextRow = Selectable<PlannedTextTable>;
export type ConversationRow = Selectable<ConversationTable>;
export type NewTextOutRow = Insertable<TextOutTable>;
