import { DateTime, IANAZone } from 'luxon';
import { type Day, isoOf } from './calendar-days.js';

const MS_A_DAY = 86_400_000;

/** Offsets (minutes east of UTC) at 00:00 UTC of each day, per zone. Pure memo: the rules of a zone do not change while we run. */
const midnightOffsets = new Map<string, Map<Day, number>>();

/** Whether the name is one of the IANA time zone database ("Africa/Kampala"). Fixed offsets such as "UTC+3" are not. */
export function isTimeZone(name: string): boolean {
  return IANAZone.isValidZone(name) && !/^[+-]/.test(name);
}

/**
 * Minutes east of UTC that clocks show in `zone` on a local day at `minute` (0..1439) past local midnight.
 * A clock time that does not exist is read as luxon reads it (moved on by the gap); of one that comes twice the
 * earlier is meant.
 */
export function offsetAt(zone: string, day: Day, minute: number): number {
  if (hasOneOffset(zone, day)) return midnightOffset(zone, day);
  return localTime(zone, day, minute).offset;
}

/** Whether no change of the clocks lies within a day of this one, so that one offset holds. */
function hasOneOffset(zone: string, day: Day): boolean {
  const before = midnightOffset(zone, day - 1);
  return (
    before === midnightOffset(zone, day) &&
    before === midnightOffset(zone, day + 1) &&
    before === midnightOffset(zone, day + 2)
  );
}

/** The instant (ms since 1970 UTC) of a local day and minute in a zone. */
export function instantAt(zone: string, day: Day, minute: number): number {
  if (!hasOneOffset(zone, day)) return localTime(zone, day, minute).toMillis();
  return day * MS_A_DAY + (minute - midnightOffset(zone, day)) * 60_000;
}

/** ISO 8601 with the zone's own offset: "2026-03-29T18:00:00+02:00". */
export function isoAt(zone: string, day: Day, minute: number): string {
  if (!hasOneOffset(zone, day)) {
    const local = localTime(zone, day, minute);
    const shown = local.hour * 60 + local.minute;
    return `${local.toISODate()}T${clockText(shown)}:00${offsetText(local.offset)}`;
  }
  return `${isoOf(day)}T${clockText(minute)}:00${offsetText(midnightOffset(zone, day))}`;
}

/** The local calendar day in a zone at an instant (ms). */
export function localDayOf(zone: string, instant: number): Day {
  return Math.floor((instant + IANAZone.create(zone).offset(instant) * 60_000) / MS_A_DAY);
}

function midnightOffset(zone: string, day: Day): number {
  let offsets = midnightOffsets.get(zone);
  if (offsets === undefined) {
    offsets = new Map();
    midnightOffsets.set(zone, offsets);
  }
  const known = offsets.get(day);
  if (known !== undefined) return known;
  const offset = IANAZone.create(zone).offset(day * MS_A_DAY);
  offsets.set(day, offset);
  return offset;
}

function localTime(zone: string, day: Day, minute: number): DateTime {
  return DateTime.fromISO(`${isoOf(day)}T${clockText(minute)}:00`, { zone });
}

/** "18:05" of minutes past midnight. */
export function clockText(minute: number): string {
  return `${String(Math.floor(minute / 60)).padStart(2, '0')}:${String(minute % 60).padStart(2, '0')}`;
}

/** Minutes past midnight of "18:05"; null when it is no clock time. "24:00" is 1440, the end of a day. */
export function readClock(text: string): number | null {
  const parts = /^([01]\d|2[0-4]):([0-5]\d)$/.exec(text);
  if (parts === null) return null;
  const minute = Number(parts[1]) * 60 + Number(parts[2]);
  return minute <= 1440 ? minute : null;
}

function offsetText(offset: number): string {
  const size = Math.abs(Math.round(offset));
  return `${offset < 0 ? '-' : '+'}${clockText(size)}`;
}
