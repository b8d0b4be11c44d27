import { DateTime } from 'luxon';
import type { CheckInDefinitions } from '../core/conversation/definition.js';
import {
  onAnsweredElsewhere,
  onClosed,
  onCourseAlert,
  onText,
  onUnknownNumber,
  onWake,
  replyToUnknownNumber,
  startCheckIn,
} from '../core/conversation/step.js';
import { type Course, type PlanOptions, planCourse } from '../core/course/course.js';
import type { Protocol } from '../core/course/protocol.js';
import { courseDay } from '../core/course/reading-phase.js';
import type { CourseEvent } from '../core/model/course-events.js';
import type { CompiledLanguages } from '../core/reading/compile.js';
import { readText } from '../core/reading/read.js';
import { fillWording, type Messages } from '../core/texts/wording.js';
import { escalationSteps } from '../core/triage/escalation.js';
import { type ClinicHours, dueAt } from '../core/triage/limits.js';
import type { TriageRules } from '../core/triage/rules.js';
import type { Clinic } from '../store/clinics.js';
import type { ChildRecord, CoursePlan } from '../store/course-record.js';
import type { Core } from './core.js';
import { remind } from './remind.js';
import { localDay } from './sending-hours.js';

/** The clinic's files, loaded. */
export interface LoadedFlows {
  readonly definitions: CheckInDefinitions;
  readonly rules: TriageRules;
  readonly languages: CompiledLanguages;
  readonly messages: Messages;
  readonly protocols: ReadonlyMap<string, Protocol>;
}

/** The pure core, filled with a clinic's files. Pure itself. */
export function coreFrom(flows: LoadedFlows): Core {
  const { definitions, rules, languages, messages } = flows;
  return {
    readText: (text) => readText(languages, text),
    onText: (input) => onText(definitions, rules, input),
    startCheckIn: (input) => startCheckIn(definitions, rules, input),
    onWake: (input) => onWake(definitions, rules, input),
    onAnsweredElsewhere: (input) => onAnsweredElsewhere(definitions, rules, input),
    onClosed: (input) => onClosed(definitions, rules, input),
    remind,
    onUnknownNumber: ({ reading, text, now }) => {
      const flag = onUnknownNumber(rules, reading, now, text);
      return { flag, reply: replyToUnknownNumber(flag) };
    },
    fillWording: ({ wording, values, language, templates }) =>
      fillWording(messages, wording, language, values, templates),
    planCourse: (record, now, until) => coursePlan(flows, record, now, until),
    standingOf: (record, now) => {
      const day = localDay(now, record.clinic.timeZone);
      return courseDay(courseOn(flows, record, day), day);
    },
    dueAt: (openedAt, flag, clinic) =>
      clinic === null ? openedAt + flag.limitMinutes * 60_000 : dueAt(openedAt, flag, staffHours(clinic)),
    escalation: (flag, clinic, now) => {
      const unclaimed = {
        urgency: flag.urgency,
        openedAt: flag.urgency_at.getTime(),
        dueAt: flag.due_at.getTime(),
        // A flag that got worse after it was taken climbs anew: it is told as if nobody had it.
        state: 'open' as const,
        escalatedStep: flag.escalated_step,
      };
      return escalationSteps(rules, unclaimed, clinic.settings.onCall, staffHours(clinic), now);
    },
  };
}

function staffHours(clinic: Clinic): ClinicHours {
  const { timeZone, opens, closes, closures } = clinic;
  return { timeZone, opens, closes, days: clinic.settings.staffDays, closed: closures };
}

function courseOn(flows: LoadedFlows, record: ChildRecord, asOf: string, options: PlanOptions = {}): Course {
  const protocol = flows.protocols.get(record.protocol);
  if (protocol === undefined) {
    const known = [...flows.protocols.keys()].join(', ');
    throw new Error(`A child is treated by the protocol "${record.protocol}"; flows/protocols has ${known}.`);
  }
  const { timeZone, clinicDays, holidays, sendingFrom, sendingTo } = record.clinic;
  const { chosenHour, child } = record;
  const input = {
    child: { ...child, feet: [...child.feet], ...(chosenHour === null ? {} : { textHour: chosenHour }) },
    // The store keeps what the pages have checked.
    clinic: { timeZone, clinicDays: [...clinicDays], holidays: holidays as string[], sendingFrom, sendingTo },
    protocol: record.protocol,
    events: record.events as readonly unknown[] as readonly CourseEvent[],
    asOf,
  };
  return planCourse(input as Parameters<typeof planCourse>[0], protocol, options);
}

function coursePlan(flows: LoadedFlows, record: ChildRecord, now: number, until: number): CoursePlan {
  const { timeZone } = record.clinic;
  // A text due on one of the last days and not stale yet is still wanted: it waits for a way out.
  const course = courseOn(flows, record, localDay(now, timeZone), { withUnexpired: true });
  const texts = course.texts.map((text) => ({
    kind: text.kind,
    forWhat: text.for,
    dueAt: Date.parse(text.at),
    expiresAt: Date.parse(text.expires),
  }));
  const nextChange =
    course.nextChange === null ? null : DateTime.fromISO(course.nextChange, { zone: timeZone }).toMillis();
  return {
    phase: course.phase,
    visits: course.visits,
    texts: texts.filter((text) => text.dueAt < until && text.expiresAt > now),
    alerts: alertsOf(flows, course, record, now),
    nextChange: nextChange !== null && nextChange < until ? nextChange : null,
  };
}

function alertsOf(
  flows: LoadedFlows,
  course: Course,
  record: ChildRecord,
  now: number,
): CoursePlan['alerts'] {
  const { clinic, child } = record;
  const facts = {
    ...courseDay(course, course.asOf),
    id: child.id,
    calledInTexts: '',
    born: child.born,
    feet: child.feet,
    travelHours: null,
    recentSigns: [],
  };
  const hours = { ...clinic, days: clinic.staffDays, closed: clinic.holidays };
  return course.alerts.flatMap((alert) => {
    const { code, reason, source, urgency } = alert;
    // `none` is for the record only: no nurse need look.
    if (urgency === 'none') return [];
    const flag = onCourseAlert(flows.rules, { code, reason, source, urgency }, facts, now);
    return [{ flag, dueAt: dueAt(now, flag, hours) }];
  });
}
