import type { ChildId, ClinicId, GuardianId, StaffId, TextInId } from '../../core/model/ids.js';
import type { Default, DefaultJson, Json, Nullable } from './columns.js';

export type StaffRole = 'nurse' | 'clinician' | 'coordinator' | 'administrator';

export type VisitStatus = 'kept' | 'missed' | 'overdue' | 'due' | 'planned';

export type Foot = 'left' | 'right';

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

export interface WearDayTable {
  child_id: ChildId;
  on_date: string;
  low: number;
  high: number;
  text_in_id: Nullable<TextInId>;
  recorded_at: Date;
}
