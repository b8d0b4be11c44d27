import { type Kysely, sql } from 'kysely';
import { type ChildLineColumns, childColumns, childDates, toChildLine } from './child-line.js';
import { onlyClinic } from './sql.js';
import type { ChildInList, FlagUrgency } from './types.js';

interface ListColumns extends ChildLineColumns {
  next_kind: string | null;
  next_due: string | null;
  next_status: string | null;
  urgency: FlagUrgency | null;
  flags: number;
  unreachable: boolean;
  stopped: boolean;
  clinic_name: string;
}

export interface ChildrenAsk {
  readonly clinicId: string | null;
  /** Part of a name, or of a number of a guardian; empty: everybody. */
  readonly find: string;
  readonly phase: string | null;
  /** Only children with a visit overdue. */
  readonly isOverdue: boolean;
  readonly offset: number;
  readonly limit: number;
}

/** Children by name, with their next visit, open flags and whether their family can be reached by text. */
export async function children(db: Kysely<unknown>, ask: ChildrenAsk): Promise<ChildInList[]> {
  const like = `%${ask.find.replace(/[\\%_]/g, (c) => `\\${c}`)}%`;
  const named =
    ask.find === ''
      ? sql`true`
      : sql`(concat_ws(' ', c.given_name, c.family_name) ilike ${like} or exists (
          select from child_guardian cg join guardian g on g.id = cg.guardian_id
          where cg.child_id = c.id and (g.name ilike ${like} or g.number like ${like})))`;
  const { rows } = await sql<ListColumns>`
    select ${childColumns}, cl.name as clinic_name, v.kind as next_kind, v.due::text as next_due,
      v.status as next_status, fl.urgency, fl.flags, p.unreachable, c.is_texting_stopped or p.stopped as stopped
    from child c join clinic cl on cl.id = c.clinic_id ${childDates}
    left join lateral (
      select v.kind, v.due, v.status from visit v
      where v.child_id = c.id and v.status in ('overdue', 'due', 'planned')
      order by v.due limit 1
    ) v on true
    left join lateral (
      select (array_agg(f.urgency order by case f.urgency when 'now' then 0 when 'today' then 1 else 2 end))[1]
        as urgency, count(*)::int as flags
      from flag f where f.child_id = c.id and f.state <> 'closed'
    ) fl on true
    left join lateral (
      select coalesce(bool_and(n.is_stopped), false) as stopped,
        coalesce(bool_and(n.unreachable_since is not null), false) as unreachable
      from child_guardian cg join guardian g on g.id = cg.guardian_id join phone_number n on n.number = g.number
      where cg.child_id = c.id
    ) p on true
    where ${onlyClinic('c.clinic_id', ask.clinicId)} and ${named}
      and (${ask.phase}::text is null or c.phase = ${ask.phase})
      and (not ${ask.isOverdue}::boolean or v.status = 'overdue')
    order by c.given_name, c.family_name, c.id
    limit ${ask.limit} offset ${ask.offset}`.execute(db);
  return rows.flatMap((row) => {
    const child = toChildLine(row);
    if (child === null) return [];
    return [
      {
        child,
        clinicName: row.clinic_name,
        next:
          row.next_kind === null || row.next_due === null
            ? null
            : { kind: row.next_kind, due: row.next_due, status: row.next_status ?? 'planned' },
        urgency: row.urgency,
        flags: row.flags,
        isUnreachable: row.unreachable,
        isStopped: row.stopped,
      },
    ];
  });
}
