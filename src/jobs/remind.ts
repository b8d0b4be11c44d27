import { DateTime } from 'luxon';
import type { Core } from './core.js';

/**
 * The text of a visit's reminder, or why it does not go. Its date stands in the family's language, its hour is when
 * the clinic opens. Pure.
 */
export const remind: Core['remind'] = ({ reminder, child, facts, clinic, for: forWhat, expiresAt, now }) => {
  const { guardian } = facts;
  if (guardian.isStopped) return { effects: [], notBegun: 'stopped' };
  if (guardian.quietUntil !== null && now < guardian.quietUntil) return { effects: [], notBegun: 'quiet' };
  const values = {
    child: child.calledInTexts,
    clinic: clinic.name,
    call: clinic.callNumber,
    emergency: clinic.emergencyNumber,
    date: dayInWords(forWhat, guardian.language),
    time: clinic.opens,
  };
  return {
    effects: [
      {
        type: 'text',
        childId: child.id,
        kind: reminder,
        wording: reminder,
        values,
        lane: 'visit',
        promised: 'at-most-once',
        key: `${reminder}:${child.id}:${guardian.id}:${forWhat}`,
        notBefore: null,
        expires: expiresAt,
        ignoresHours: false,
      },
    ],
  };
};

/** "Tue 9 Jun" of the ISO date that ends what a text is about ("cast-change 2026-06-09"). */
function dayInWords(forWhat: string, language: string): string {
  const date = DateTime.fromISO(forWhat.slice(-10), { zone: 'utc' });
  if (!date.isValid) return forWhat;
  return date.setLocale(language).toLocaleString({ weekday: 'short', day: 'numeric', month: 'short' });
}
