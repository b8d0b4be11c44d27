import { type Kysely, sql } from 'kysely';

/**
 * The record. Times are timestamptz (UTC inside), dates without a clock are `date` in the clinic's zone, ids are
 * UUID version 7 made by the application so that rows sort by age. Texts held as `text` with a check instead of
 * PostgreSQL enums, because a check can be widened inside a transaction.
 */
export async function up(db: Kysely<unknown>): Promise<void> {
  for (const statement of STATEMENTS) await sql.raw(statement).execute(db);
}

const STATEMENTS = [
  `create table clinic (
    id uuid primary key,
    name text not null,
    time_zone text not null,
    country text not null,
    language text not null default 'en',
    clinic_days text[] not null,
    sending_from text not null default '08:00',
    sending_to text not null default '20:00',
    opens text not null default '08:00',
    closes text not null default '16:00',
    closures jsonb not null default '[]',
    call_number text not null,
    emergency_number text not null,
    protocol text not null default 'standard',
    settings jsonb not null default '{}',
    created_at timestamptz not null
  )`,
  `create table staff (
    id uuid primary key,
    clinic_id uuid references clinic,
    name text not null,
    role text not null check (role in ('nurse', 'clinician', 'coordinator', 'administrator')),
    phone text,
    language text not null default 'en',
    is_active boolean not null default true,
    created_at timestamptz not null
  )`,
  // A link is shown once and works once; only its hash is kept.
  `create table sign_in_link (
    token_hash text primary key,
    staff_id uuid not null references staff,
    created_at timestamptz not null,
    expires_at timestamptz not null,
    used_at timestamptz
  )`,
  `create table child (
    id uuid primary key,
    clinic_id uuid not null references clinic,
    given_name text not null,
    family_name text,
    called_in_texts text not null,
    born date not null,
    weeks_early integer not null default 0,
    feet text[] not null,
    protocol text not null,
    travel_hours numeric,
    is_texting_stopped boolean not null default false,
    texting_stopped_why text,
    phase text not null default 'before',
    /* Everything due before this instant has been written to planned_text; the planner looks again then. */
    planned_until timestamptz not null default '1970-01-01T00:00:00Z',
    version integer not null default 1,
    created_at timestamptz not null,
    updated_at timestamptz not null
  )`,
  `create index child_to_plan on child (planned_until, id) where not is_texting_stopped and phase <> 'discharged'`,
  `create index child_of_clinic on child (clinic_id, phase)`,
  // One row a telephone number: opting out is per number, whoever holds the phone.
  `create table phone_number (
    number text primary key,
    is_stopped boolean not null default false,
    stopped_why text,
    stopped_at timestamptz,
    quiet_until timestamptz,
    unreachable_since timestamptz
  )`,
  `create table guardian (
    id uuid primary key,
    clinic_id uuid not null references clinic,
    name text not null,
    number text not null references phone_number,
    language text not null,
    reads boolean not null default true,
    chosen_hour text,
    consent_text text,
    consent_on date,
    consent_by text,
    created_at timestamptz not null
  )`,
  `create index guardian_by_number on guardian (number)`,
  `create table child_guardian (
    child_id uuid not null references child,
    guardian_id uuid not null references guardian,
    relation text not null default 'parent',
    /* 1 is texted first; 2 is tried when 1 cannot be reached. */
    rank integer not null default 1,
    primary key (child_id, guardian_id)
  )`,
  `create index child_guardian_by_guardian on child_guardian (guardian_id)`,
  // What happened to the child, as the course reads it. Edits add a row and point the old one at it.
  `create table course_event (
    id uuid primary key,
    child_id uuid not null references child,
    type text not null,
    on_date date not null,
    body jsonb not null,
    recorded_by uuid references staff,
    recorded_at timestamptz not null,
    replaced_by uuid references course_event,
    is_withdrawn boolean not null default false
  )`,
  `create index course_event_of_child on course_event (child_id, on_date) where replaced_by is null and not is_withdrawn`,
  // The visits the course expects; rewritten from the course whenever the child's events change.
  `create table visit (
    child_id uuid not null references child,
    clinic_id uuid not null references clinic,
    kind text not null,
    due date not null,
    window_from date not null,
    window_to date not null,
    status text not null check (status in ('kept', 'missed', 'overdue', 'due', 'planned')),
    primary key (child_id, kind, due)
  )`,
  `create index visit_of_clinic on visit (clinic_id, due) where status in ('due', 'overdue', 'planned')`,
  // What is to be sent and when. (child, guardian, kind, for) is the key that makes planning twice harmless.
  `create table planned_text (
    id uuid primary key,
    clinic_id uuid not null references clinic,
    child_id uuid not null references child,
    guardian_id uuid not null references guardian,
    kind text not null,
    for_what text not null,
    due_at timestamptz not null,
    expires_at timestamptz not null,
    state text not null default 'planned' check (state in ('planned', 'sent', 'dropped', 'withdrawn')),
    note text,
    /* False: a conversation asked for it; a changed course leaves it alone. */
    is_from_course boolean not null default true,
    unique (child_id, guardian_id, kind, for_what)
  )`,
  `create index planned_text_due on planned_text (due_at, id) where state = 'planned'`,
  `create index planned_text_of_child on planned_text (child_id, due_at)`,
  // A timer of a conversation: wake it at this instant unless it has moved on.
  `create table conversation (
    id uuid primary key,
    guardian_id uuid not null references guardian,
    child_id uuid references child,
    check_in text not null,
    version text not null,
    snapshot jsonb not null,
    state text not null check (state in ('asking', 'done')),
    asked text not null default 'open',
    wake_at timestamptz,
    wake_reason text,
    started_at timestamptz not null,
    updated_at timestamptz not null
  )`,
  `create unique index conversation_one_question on conversation (guardian_id) where state = 'asking'`,
  `create index conversation_to_wake on conversation (wake_at) where wake_at is not null`,
  `create table check_in_definition (
    check_in text not null,
    version text not null,
    body jsonb not null,
    first_used_at timestamptz not null,
    primary key (check_in, version)
  )`,
  // Stored raw before anything looks at it. Nothing ever deletes a row here but a retention rule.
  `create table text_in (
    id uuid primary key,
    gateway text not null,
    provider_id text not null,
    from_number text not null,
    to_number text not null,
    body text not null,
    raw text not null,
    part_ref integer,
    part_number integer,
    part_total integer,
    sent_at timestamptz,
    received_at timestamptz not null,
    state text not null default 'stored' check (state in ('stored', 'read', 'failed', 'joined')),
    attempts integer not null default 0,
    error text,
    guardian_id uuid references guardian,
    child_id uuid references child,
    reading jsonb,
    read_at timestamptz,
    /* Set on a part: the row that holds the whole text. */
    joined_into uuid references text_in,
    /* Said to whoever reads it: a part is missing, bytes were not UTF-8. */
    note text,
    unique (gateway, provider_id)
  )`,
  `create index text_in_unread on text_in (received_at) where state = 'stored'`,
  `create index text_in_of_guardian on text_in (guardian_id, received_at)`,
  `create index text_in_parts on text_in (from_number, part_ref) where state = 'stored' and part_total is not null`,
  `create index text_in_of_child on text_in (child_id, received_at)`,
  `create index text_in_from on text_in (from_number, received_at)`,
  `create table text_out (
    id uuid primary key,
    /* Two texts with one key are one text. */
    key text not null unique,
    clinic_id uuid references clinic,
    guardian_id uuid references guardian,
    child_id uuid references child,
    flag_id uuid,
    to_number text not null,
    kind text not null,
    lane text not null check (lane in ('safety', 'answer', 'visit', 'check-in')),
    promised text not null check (promised in ('at-least-once', 'at-most-once')),
    language text not null,
    body text not null,
    /* What the body was made from, so that it can be said again in another guardian's language. */
    wording text,
    wording_values jsonb not null default '{}',
    planned_text_id uuid references planned_text,
    ignores_hours boolean not null default false,
    not_before timestamptz not null,
    expires_at timestamptz,
    state text not null default 'planned',
    gateway text,
    provider_id text,
    attempts integer not null default 0,
    next_try_at timestamptz,
    parts integer,
    error text,
    created_at timestamptz not null,
    state_at timestamptz not null,
    /* By the database's own clock: how long a hand-over has been without an answer must not follow a moved clock. */
    handed_over_at timestamptz,
    /* Why it failed, in the gateways' closed list; set with needs_care until somebody or something has seen to it. */
    failure text,
    needs_care boolean not null default false
  )`,
  `create index text_out_needs_care on text_out (state_at) where needs_care`,
  `create index text_out_to_send on text_out (coalesce(next_try_at, not_before), id) where state in ('planned', 'queued')`,
  `create index text_out_unsettled on text_out (handed_over_at) where state = 'handed-over'`,
  `create index text_out_by_provider on text_out (gateway, provider_id)`,
  `create index text_out_of_guardian on text_out (guardian_id, created_at)`,
  `create index text_out_to on text_out (to_number, created_at)`,
  `create table text_out_step (
    text_out_id uuid not null references text_out,
    state text not null,
    at timestamptz not null,
    detail text
  )`,
  `create index text_out_step_of_text on text_out_step (text_out_id, at)`,
  // Delivery reports as they came, also for texts nobody knows.
  `create table delivery_report (
    id uuid primary key,
    gateway text not null,
    provider_id text not null,
    our_id text,
    state text not null,
    code text,
    reason text,
    raw text not null,
    received_at timestamptz not null,
    text_out_id uuid,
    times integer not null default 1,
    unique (gateway, provider_id, state)
  )`,
  `create index delivery_report_unmatched on delivery_report (received_at) where text_out_id is null`,
  // Texts counted against a clinic's budget of one local day, shared by all workers and safe from an emptied Redis.
  `create table sent_on_day (
    clinic_id uuid not null references clinic,
    on_date date not null,
    texts integer not null,
    primary key (clinic_id, on_date)
  )`,
  `create table wear_day (
    child_id uuid not null references child,
    on_date date not null,
    low numeric not null,
    high numeric not null,
    text_in_id uuid references text_in,
    recorded_at timestamptz not null,
    primary key (child_id, on_date)
  )`,
  `create table flag (
    id uuid primary key,
    /* Null: nobody knows yet whose it is (unknown number). */
    clinic_id uuid references clinic,
    child_id uuid references child,
    guardian_id uuid references guardian,
    number text,
    /* Whom it is about, as one key: child:<id>, number:<E.164>, clinic:<id> or service. */
    about text not null,
    matter text not null,
    urgency text not null check (urgency in ('soon', 'today', 'now')),
    rule text not null,
    reason text not null,
    next_step text not null,
    risk integer not null default 0,
    state text not null default 'open' check (state in ('open', 'taken', 'closed')),
    opened_at timestamptz not null,
    due_at timestamptz not null,
    urgency_at timestamptz not null,
    taken_by uuid references staff,
    taken_at timestamptz,
    closed_by uuid references staff,
    closed_at timestamptz,
    outcome text,
    escalated_step integer not null default 0,
    escalate_at timestamptz,
    first_action_at timestamptz
  )`,
  // Many texts about one trouble are one open matter.
  `create unique index flag_one_open_matter on flag (about, matter) where state <> 'closed'`,
  `create index flag_queue on flag (clinic_id, urgency, due_at) where state <> 'closed'`,
  `create index flag_to_escalate on flag (escalate_at) where state <> 'closed' and escalate_at is not null`,
  `create index flag_of_child on flag (child_id, opened_at)`,
  `create table flag_event (
    id uuid primary key,
    flag_id uuid not null references flag,
    at timestamptz not null,
    kind text not null check (kind in ('raised', 'again', 'worse', 'added', 'taken', 'handed-over', 'noted', 'texted', 'closed', 'reopened', 'escalated', 'corrected')),
    staff_id uuid references staff,
    text_in_id uuid references text_in,
    urgency text,
    note text,
    signs text[] not null default '{}',
    evidence jsonb not null default '[]'
  )`,
  `create index flag_event_of_flag on flag_event (flag_id, at)`,
  `create table audit (
    number bigint generated always as identity primary key,
    at timestamptz not null,
    actor text not null,
    action text not null,
    subject text not null,
    detail jsonb not null default '{}',
    clinic_id uuid
  )`,
  `create index audit_of_subject on audit (subject, number)`,
  // A clock that can be moved; used by demonstrations only, empty in a clinic.
  `create table moved_clock (
    only_row boolean primary key default true check (only_row),
    shift_ms bigint not null
  )`,
];
