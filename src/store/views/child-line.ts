import { type RawBuilder, sql } from 'kysely';
import type { ChildLine } from './types.js';

export interface ChildLineColumns {
  child_id: string | null;
  child_name: string | null;
  child_born: string | null;
  child_feet: string[] | null;
  child_phase: string | null;
  last_cast: string | null;
  tenotomy: string | null;
  brace_from: string | null;
}

/** The columns every list shows of a child; needs `child c` and the lateral `k` of `childDates`. */
export const childColumns: RawBuilder<unknown> = sql`
  c.id as child_id, concat_ws(' ', c.given_name, c.family_name) as child_name, c.born::text as child_born,
  c.feet as child_feet, c.phase as child_phase, k.last_cast, k.tenotomy, k.brace_from`;

/** Dates of the last cast, tenotomy and brace fitting of child `c`, as the lateral `k`. */
export const childDates: RawBuilder<unknown> = sql`
  left join lateral (
    select max(e.on_date) filter (where e.type = 'cast')::text as last_cast,
           max(e.on_date) filter (where e.type = 'tenotomy')::text as tenotomy,
           max(e.on_date) filter (where e.type = 'brace')::text as brace_from
    from course_event e
    where e.child_id = c.id and e.replaced_by is null and not e.is_withdrawn
  ) k on true`;

export function toChildLine(row: ChildLineColumns): ChildLine | null {
  if (row.child_id === null) return null;
  return {
    id: row.child_id,
    name: row.child_name ?? '',
    born: row.child_born ?? '',
    feet: (row.child_feet ?? []).filter((f): f is 'left' | 'right' => f === 'left' || f === 'right'),
    phase: row.child_phase ?? 'before',
    lastCast: row.last_cast,
    tenotomy: row.tenotomy,
    braceFrom: row.brace_from,
  };
}
