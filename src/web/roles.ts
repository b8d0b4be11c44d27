/** What a page or a form asks of whoever uses it. Every route names one. */
export const PERMISSIONS = [
  'see-flags',
  'act-on-flags',
  'see-children',
  'record-visits',
  'enrol',
  'see-programme',
  'set-up',
  'manage-staff',
] as const;
export type Permission = (typeof PERMISSIONS)[number];

export const ROLES = ['nurse', 'clinician', 'coordinator', 'administrator'] as const;
export type Role = (typeof ROLES)[number];

/**
 * Who may do what. A coordinator follows the programme and calls families, but writes nothing clinical; an
 * administrator keeps the clinic's settings and sees no family's words. Common practice, no source.
 */
const MAY: Readonly<Record<Role, readonly Permission[]>> = {
  nurse: ['see-flags', 'act-on-flags', 'see-children', 'record-visits', 'enrol', 'see-programme'],
  clinician: [
    'see-flags',
    'act-on-flags',
    'see-children',
    'record-visits',
    'enrol',
    'see-programme',
    'set-up',
  ],
  coordinator: ['see-flags', 'act-on-flags', 'see-children', 'enrol', 'see-programme'],
  administrator: ['see-programme', 'set-up', 'manage-staff'],
};

/** True when this role may do this. */
export function may(role: Role, permission: Permission): boolean {
  return MAY[role].includes(permission);
}
