import type { CourseEvent } from '../../../core/model/course-events.js';
import type { ChildId, ClinicId, StaffId } from '../../../core/model/ids.js';
import { writeAudit } from '../../../store/audit.js';
import { insertCourseEvent, recordEvent, replaceEvent, withdrawEvent } from '../../../store/course-events.js';
import type { Change } from '../../../store/families.js';
import { inTransaction } from '../../../store/transaction.js';
import type { EventRow } from '../../../store/views/types.js';
import type { Answer, Ask, PageRoute } from '../../page.js';
import { courseOf } from '../../parts/course-of.js';
import type { Fault } from '../../parts/fault.js';
import { standing } from '../../parts/foot-record.js';
import { type LoadedChild, loadChild } from '../child/load.js';
import { CorrectPage } from './correct-view.js';
import { isDate, readFindings, readVisit } from './fields.js';
import { proposals } from './proposals.js';
import { VisitPage } from './view.js';

export const visitRoutes: readonly PageRoute[] = [
  { method: 'GET', path: '/children/:id/visit', needs: 'record-visits', answer: showForm },
  { method: 'POST', path: '/children/:id/visit', needs: 'record-visits', answer: saveVisit },
  { method: 'GET', path: '/children/:id/events/:event', needs: 'record-visits', answer: showEvent },
  { method: 'POST', path: '/children/:id/events/:event', needs: 'record-visits', answer: correctEvent },
  { method: 'POST', path: '/children/:id/events/:event/withdraw', needs: 'record-visits', answer: withdraw },
];

async function showForm(ask: Ask): Promise<Answer> {
  const loaded = await loadChild(ask, 'opened-visit-form');
  return loaded === null ? { kind: 'missing' } : form(ask, loaded, []);
}

function form(ask: Ask, loaded: LoadedChild, faults: readonly Fault[]): Answer {
  return {
    kind: 'page',
    under: 'children',
    status: faults.length === 0 ? 200 : 400,
    title: ask.words.say('visit-form.title', { name: loaded.row.child.name }),
    body: VisitPage({ ask, loaded, faults, next: proposals(loaded, nextCast(loaded), ask.deps.protocols) }),
  };
}

/** Saves a visit. Whatever the course then cannot make sense of is told before anything is written. */
async function saveVisit(ask: Ask): Promise<Answer> {
  const loaded = await loadChild(ask, 'opened-visit-form');
  if (loaded === null) return { kind: 'missing' };
  const read = readVisit(ask.form, loaded.row.child.feet, nextCast(loaded));
  if (!read.isValid) return form(ask, loaded, read.faults);
  const { events } = read.visit;
  const faults = contradictions(ask, loaded, [...loaded.record.events, ...events]);
  if (faults.length > 0) return form(ask, loaded, faults);
  await saveEvents(ask, loaded, events);
  return { kind: 'go', to: `/children/${loaded.row.child.id}`, said: 'visit-saved' };
}

/**
 * All events of one visit in one transaction, planned anew only once they all stand: a tenotomy without its cast is
 * no course.
 */
async function saveEvents(ask: Ask, loaded: LoadedChild, events: readonly CourseEvent[]): Promise<void> {
  const last = events.at(-1);
  if (last === undefined) return;
  const childId = loaded.row.child.id as ChildId;
  await inTransaction(ask.deps.store, async (tx) => {
    for (const event of events.slice(0, -1)) {
      const id = await insertCourseEvent(tx, childId, event, change(ask));
      await writeAudit(tx, {
        at: ask.now,
        actor: ask.staff.id as StaffId,
        action: 'record-event',
        subject: `child:${childId}`,
        clinicId: loaded.row.clinicId as ClinicId,
        detail: { event: id, type: event.type },
      });
    }
    await recordEvent(tx, childId, last, change(ask));
  });
}

async function showEvent(ask: Ask): Promise<Answer> {
  const found = await findEvent(ask);
  return found === null ? { kind: 'missing' } : correctForm(ask, found.loaded, found.event, []);
}

function correctForm(ask: Ask, loaded: LoadedChild, event: EventRow, faults: readonly Fault[]): Answer {
  return {
    kind: 'page',
    under: 'children',
    status: faults.length === 0 ? 200 : 400,
    title: ask.words.say('visit-form.correct', { name: loaded.row.child.name }),
    body: CorrectPage({ ask, loaded, event, faults }),
  };
}

/** Replaces an event; the wrong one stays in the history. */
async function correctEvent(ask: Ask): Promise<Answer> {
  const found = await findEvent(ask);
  if (found === null) return { kind: 'missing' };
  const { loaded, event } = found;
  const faults: Fault[] = [];
  const date = ask.form.get('date');
  if (!isDate(date)) faults.push({ key: 'visit-form.fault-date' });
  const hasFindings = event.type === 'cast' || event.type === 'visit';
  const feet = hasFindings ? readFindings(ask.form, loaded.row.child.feet, faults) : undefined;
  if (faults.length > 0) return correctForm(ask, loaded, event, faults);
  const { feet: before, note: _note, ...kept } = event.body;
  const corrected = {
    ...kept,
    type: event.type,
    date,
    ...(hasFindings ? (feet === undefined ? {} : { feet }) : before === undefined ? {} : { feet: before }),
    ...(ask.form.get('note') === '' ? {} : { note: ask.form.get('note').slice(0, 500) }),
  } as CourseEvent;
  const others = standing(loaded.row.events)
    .filter((one) => one.id !== event.id)
    .map((one) => ({ ...one.body, type: one.type, date: one.date }));
  const contradicting = contradictions(ask, loaded, [...others, corrected]);
  if (contradicting.length > 0) return correctForm(ask, loaded, event, contradicting);
  await replaceEvent(ask.deps.store, event.id, corrected, change(ask));
  return { kind: 'go', to: `/children/${loaded.row.child.id}`, said: 'event-corrected' };
}

async function withdraw(ask: Ask): Promise<Answer> {
  const found = await findEvent(ask);
  if (found === null) return { kind: 'missing' };
  const { loaded, event } = found;
  const others = standing(loaded.row.events)
    .filter((one) => one.id !== event.id)
    .map((one) => ({ ...one.body, type: one.type, date: one.date }));
  const faults = contradictions(ask, loaded, others);
  if (faults.length > 0) return correctForm(ask, loaded, event, faults);
  await withdrawEvent(ask.deps.store, event.id, change(ask));
  return { kind: 'go', to: `/children/${loaded.row.child.id}`, said: 'event-withdrawn' };
}

/** The event of this address if it stands and is this child's. */
async function findEvent(ask: Ask): Promise<{ loaded: LoadedChild; event: EventRow } | null> {
  const loaded = await loadChild(ask, 'opened-event');
  if (loaded === null) return null;
  const event = standing(loaded.row.events).find((one) => one.id === ask.params.event);
  return event === undefined ? null : { loaded, event };
}

function contradictions(ask: Ask, loaded: LoadedChild, events: readonly unknown[]): Fault[] {
  const record = { ...loaded.record, events: events as LoadedChild['record']['events'] };
  const made = courseOf(record, loaded.today, ask.deps.protocols);
  if (made.kind === 'course') return [];
  return made.faults.map((fault) => ({ key: 'visit-form.fault-course', values: { fault } }));
}

/** The number the next cast of this series gets. */
function nextCast(loaded: LoadedChild): number {
  return 1 + Math.max(0, ...(loaded.course?.feet ?? []).map((foot) => foot.casts));
}

function change(ask: Ask): Change {
  return {
    by: ask.staff.id as StaffId,
    now: ask.now,
    plan: ask.deps.core.planCourse,
    aheadMs: ask.deps.planAheadMs,
  };
}
