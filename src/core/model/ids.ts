/**
 * Ids are branded strings (UUID version 7, made in the shell), so that a child's id cannot be passed where a
 * guardian's belongs.
 */
type Branded<Name extends string> = string & { readonly __id: Name };

export type ClinicId = Branded<'clinic'>;
export type StaffId = Branded<'staff'>;
export type ChildId = Branded<'child'>;
export type GuardianId = Branded<'guardian'>;
export type FlagId = Branded<'flag'>;
export type TextInId = Branded<'text-in'>;
export type TextOutId = Branded<'text-out'>;
export type PlannedTextId = Branded<'planned-text'>;
