import type { OctetReader } from './octets.js';

/**
 * A service centre's time stamp as ISO 8601 with its offset, seven octets of swapped digits; the zone counts quarters
 * of an hour, its sign in bit 3 (3GPP TS 23.040 section 9.2.3.11). Undefined when the digits are no time.
 */
export function readTimestamp(reader: OctetReader): string | undefined {
  const octets = reader.take(7, 'time stamp');
  const [year, month, day, hour, minute, second] = octets.map((octet) => (octet & 0x0f) * 10 + (octet >> 4));
  const zone = octets[6] ?? 0;
  const quarters = (zone & 0x07) * 10 + (zone >> 4);
  const sign = zone & 0x08 ? '-' : '+';
  const two = (value: number | undefined) => String(value ?? 0).padStart(2, '0');
  const offset = `${sign}${two(Math.floor(quarters / 4))}:${two((quarters % 4) * 15)}`;
  const iso = `20${two(year)}-${two(month)}-${two(day)}T${two(hour)}:${two(minute)}:${two(second)}${offset}`;
  return Number.isNaN(Date.parse(iso)) ? undefined : iso;
}

const MINUTE = 60;
const HOUR = 3_600;
const DAY = 86_400;

/**
 * The longest relative validity period that does not outlast so many seconds, as its one octet (section 9.2.3.12.1):
 * steps of 5 minutes to 12 hours, of 30 minutes to 24 hours, then days to 30, then weeks to 63. At least 5 minutes.
 */
export function validityOctet(seconds: number): number {
  if (seconds >= 5 * 7 * DAY) return 192 + Math.min(63, Math.floor(seconds / (7 * DAY)));
  if (seconds >= 2 * DAY) return 166 + Math.min(30, Math.floor(seconds / DAY));
  if (seconds >= 12.5 * HOUR) return 143 + Math.min(24, Math.floor((seconds - 12 * HOUR) / (30 * MINUTE)));
  return Math.min(143, Math.max(0, Math.floor(seconds / (5 * MINUTE)) - 1));
}
