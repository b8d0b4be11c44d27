import { type RawBuilder, sql } from 'kysely';

/** An instant column as milliseconds since 1970 (a float8 that holds a whole number), null staying null. */
export function ms(column: string): RawBuilder<number> {
  return sql.raw(`(extract(epoch from ${column}) * 1000)::float8`);
}

/** An instant given in ms, for comparing with a timestamptz column. */
export function at(instant: number): RawBuilder<unknown> {
  return sql`to_timestamp(${instant}::float8 / 1000)`;
}

/**
 * The wall of a clinic as a condition: rows of this clinic, or all when the viewer's `clinicId` is null (staff of a
 * whole country). Rows that belong to no clinic yet (unknown numbers) are seen by every clinic.
 */
export function ofClinic(column: string, clinicId: string | null): RawBuilder<boolean> {
  if (clinicId === null) return sql`true`;
  return sql`(${sql.raw(column)} = ${clinicId}::uuid or ${sql.raw(column)} is null)`;
}

/** As `ofClinic`, for rows that always belong to a clinic. */
export function onlyClinic(column: string, clinicId: string | null): RawBuilder<boolean> {
  return clinicId === null ? sql`true` : sql`${sql.raw(column)} = ${clinicId}::uuid`;
}
