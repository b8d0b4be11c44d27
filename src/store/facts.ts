import type { ChildFacts, StepFacts } from '../core/model/family.js';
import type { ChildId, GuardianId } from '../core/model/ids.js';
import { childRecords } from './child-records.js';
import { type Clinic, clinicFrom } from './clinics.js';
import type { ChildRecord } from './course-record.js';
import { openMattersOf, recentSigns, sentThisWeek } from './facts-history.js';
import type { Store } from './store.js';

/** Where a child stands in its course at an instant, as the conversation needs it. */
export type Standing = Pick<
  ChildFacts,
  'phase' | 'dayInPhase' | 'castDay' | 'tenotomyDay' | 'nextVisit' | 'wearTargetHours'
>;
/** The pure course asked where a child stands at `now` (ms). */
export type StandingOf = (record: ChildRecord, now: number) => Standing;

/** A guardian with everything one step may look at. */
export interface GuardianNow {
  readonly clinic: Clinic;
  readonly number: string;
  /** All but `asked`, which the standing question decides. */
  readonly facts: Omit<StepFacts, 'asked'>;
  /** Children whose texting has not been stopped. */
  readonly textedChildren: ReadonlySet<ChildId>;
}

/**
 * What may be known about these guardians and their children at `now` (ms), in a handful of queries however many they
 * are. Guardians nobody has are left out.
 */
export async function factsOf(
  tx: Store,
  ids: readonly GuardianId[],
  standingOf: StandingOf,
  now: number,
): Promise<ReadonlyMap<GuardianId, GuardianNow>> {
  if (ids.length === 0) return new Map();
  const [guardians, links] = await Promise.all([guardiansOf(tx, ids), linksOf(tx, ids)]);
  const childIds = [...new Set(links.map((link) => link.child_id))];
  const [records, signs, matters, sent] = await Promise.all([
    childRecords(tx, childIds),
    recentSigns(tx, childIds, now),
    openMattersOf(
      tx,
      childIds,
      [...guardians.values()].map(({ number }) => number),
    ),
    sentThisWeek(
      tx,
      [...guardians.values()].map(({ number }) => number),
      now,
    ),
  ]);
  const recordOf = new Map(records.map(({ id, record }) => [id, record]));
  const factsOfChild = (link: (typeof links)[number]): ChildFacts[] => {
    const record = recordOf.get(link.child_id);
    if (record === undefined) return [];
    return [{ ...childFacts(link), ...standingOf(record, now), recentSigns: signs.get(link.child_id) ?? [] }];
  };
  const clinics = new Map<Clinic['id'], Clinic>();
  const clinicOnce = (row: (typeof guardians)[number]): Clinic => {
    const clinic = clinics.get(row.id) ?? clinicFrom(row);
    clinics.set(row.id, clinic);
    return clinic;
  };
  return new Map(
    guardians.map((row) => {
      const own = links.filter((link) => link.guardian_id === row.guardian_id);
      const openMatters = matters.filter(
        (matter) => matter.number === row.number || own.some((link) => link.child_id === matter.childId),
      );
      const clinic = clinicOnce(row);
      const facts = {
        clinic,
        guardian: {
          id: row.guardian_id,
          language: row.guardian_language,
          reads: row.reads,
          isStopped: row.is_stopped,
          quietUntil: row.quiet_until?.getTime() ?? null,
        },
        children: own.flatMap(factsOfChild),
        openMatters,
        sentThisWeek: sent.get(row.number) ?? 0,
      };
      const textedChildren = new Set(
        own.filter((link) => !link.is_texting_stopped).map((link) => link.child_id),
      );
      return [row.guardian_id, { clinic, number: row.number, facts, textedChildren }];
    }),
  );
}

function childFacts(link: Awaited<ReturnType<typeof linksOf>>[number]) {
  return {
    id: link.child_id,
    calledInTexts: link.called_in_texts,
    born: link.born,
    feet: link.feet,
    travelHours: link.travel_hours,
  };
}

function guardiansOf(tx: Store, ids: readonly GuardianId[]) {
  return tx.db
    .selectFrom('guardian')
    .innerJoin('clinic', 'clinic.id', 'guardian.clinic_id')
    .innerJoin('phone_number', 'phone_number.number', 'guardian.number')
    .selectAll('clinic')
    .select([
      'guardian.id as guardian_id',
      'guardian.number',
      'guardian.language as guardian_language',
      'guardian.reads',
      'phone_number.is_stopped',
      'phone_number.quiet_until',
    ])
    .where('guardian.id', 'in', ids)
    .execute();
}

function linksOf(tx: Store, ids: readonly GuardianId[]) {
  return tx.db
    .selectFrom('child_guardian')
    .innerJoin('child', 'child.id', 'child_guardian.child_id')
    .select([
      'guardian_id',
      'child_id',
      'called_in_texts',
      'born',
      'feet',
      'travel_hours',
      'is_texting_stopped',
    ])
    .where('guardian_id', 'in', ids)
    .orderBy('child_id')
    .execute();
}
