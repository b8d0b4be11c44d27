import { WEEKDAYS } from '../../../core/time/calendar-days.js';
import type { ClinicHoursChange } from '../../../store/clinic-hours.js';
import type { Form } from '../../form.js';
import type { Fault } from '../../parts/fault.js';
import { isDate } from '../visit/fields.js';

export type ReadHours =
  | { readonly isValid: true; readonly change: ClinicHoursChange }
  | { readonly isValid: false; readonly faults: readonly Fault[] };

/** Reads the clinic's days and hours; every fault at once. `protocols` are the names that exist. */
export function readHours(form: Form, protocols: readonly string[]): ReadHours {
  const faults: Fault[] = [];
  const fault = (key: string, values?: Fault['values']) =>
    void faults.push({ key: `set-up.fault-${key}`, ...(values === undefined ? {} : { values }) });
  const clinicDays = WEEKDAYS.filter((day) => form.all('days').includes(day));
  if (clinicDays.length === 0) fault('days');
  const [opens, closes] = [form.get('opens'), form.get('closes')];
  if (!isClock(opens) || !isClock(closes) || opens >= closes) fault('opens');
  const [sendingFrom, sendingTo] = [form.get('sending-from'), form.get('sending-to')];
  if (!isClock(sendingFrom) || !isClock(sendingTo) || minutes(sendingFrom) + 60 > minutes(sendingTo)) {
    fault('sending');
  }
  const closures = form
    .get('closures')
    .split(/[\s,;]+/)
    .filter((text) => text !== '');
  const wrong = closures.filter((text) => !isDate(text));
  if (wrong.length > 0) fault('closures', { found: wrong.slice(0, 5).join(', ') });
  const [callNumber, emergencyNumber] = [form.get('call'), form.get('emergency')];
  if (!isNumber(callNumber)) fault('call');
  if (!isNumber(emergencyNumber)) fault('emergency');
  const protocol = form.get('protocol');
  if (!protocols.includes(protocol)) fault('protocol', { allowed: protocols.join(', ') });
  if (faults.length > 0) return { isValid: false, faults };
  return {
    isValid: true,
    change: {
      clinicDays,
      opens,
      closes,
      closures: [...new Set(closures)].sort(),
      sendingFrom,
      sendingTo,
      callNumber,
      emergencyNumber,
      protocol,
      isForAll: form.get('for-all') === 'yes',
    },
  };
}

const isClock = (text: string) => /^([01]\d|2[0-3]):[0-5]\d$/.test(text);
const minutes = (clock: string) => Number(clock.slice(0, 2)) * 60 + Number(clock.slice(3));
/** As families dial it: digits, with + or spaces. */
const isNumber = (text: string) => /^\+?[\d ()-]{2,20}$/.test(text);
