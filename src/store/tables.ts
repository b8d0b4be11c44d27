import type { ColumnType } from 'kysely';
import type { ClinicId } from '../core/model/ids.js';
import type { Default, DefaultJson, Nullable } from './tables/columns.js';
import type {
  ChildGuardianTable,
  ChildTable,
  ClinicTable,
  CourseEventTable,
  GuardianTable,
  PhoneNumberTable,
  SignInLinkTable,
  StaffTable,
  VisitTable,
  WearDayTable,
} from './tables/family.js';
import type { FlagEventTable, FlagTable } from './tables/flags.js';
import type {
  CheckInDefinitionTable,
  ConversationTable,
  DeliveryReportTable,
  PlannedTextTable,
  SentOnDayTable,
  TextInTable,
  TextOutStepTable,
  TextOutTable,
} from './tables/texts.js';

export * from './tables/family.js';
export * from './tables/flags.js';
export * from './tables/texts.js';

/** The columns of `migrations/`, as Kysely sees them. `Date` is an instant, a date without a clock is an ISO string. */

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
