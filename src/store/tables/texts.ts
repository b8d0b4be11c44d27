import type { Selectable } from 'kysely';
import type {
  ChildId,
  ClinicId,
  FlagId,
  GuardianId,
  PlannedTextId,
  TextInId,
  TextOutId,
} from '../../core/model/ids.js';
import type { Reading } from '../../core/model/reading.js';
import type { Asked } from '../../core/model/signs.js';
import type { CourseTextKind, Lane, Promised, TextState } from '../../core/model/texts.js';
import type { Default, DefaultJson, Json, Nullable, NullableJson } from './columns.js';

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
  is_from_course: Default<boolean>;
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

export type TextOutRow = Selectable<TextOutTable>;

export type TextInRow = Selectable<TextInTable>;

export type PlannedTextRow = Selectable<PlannedTextTable>;

export type ConversationRow = Selectable<ConversationTable>;
