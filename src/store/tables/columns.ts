import type { ColumnType } from 'kysely';

/** A column the database fills when it is left out. */
export type Default<T> = ColumnType<T, T | undefined, T>;
export type Nullable<T> = ColumnType<T | null, T | null | undefined, T | null>;
/** jsonb: read as data, written as JSON text, because the driver would turn an array into a PostgreSQL array. */
export type Json<T> = ColumnType<T, string, string>;
export type DefaultJson<T> = ColumnType<T, string | undefined, string>;
export type NullableJson<T> = ColumnType<T | null, string | null | undefined, string | null>;
