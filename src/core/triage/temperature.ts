import { digitsToAscii } from './digits.js';

/** Plausible body temperatures; anything else in a text is some other number. */
const CELSIUS = { from: 35, to: 43 } as const;
const FAHRENHEIT = { from: 95, to: 109.5 } as const;

/**
 * The body temperature a text tells, in degrees Celsius, or null. Numbers that can be one are taken from the
 * whole text (the highest wins: stricter), Fahrenheit is turned into Celsius. Call it only for a text that was
 * read as fever or was an answer about temperature: elsewhere 38 may be anything. Pure.
 *
 * @example readTemperature('he is hot, 101.3 F') // 38.5
 */
export function readTemperature(text: string): number | null {
  const found: number[] = [];
  for (const match of digitsToAscii(text).matchAll(/(?<![\d.,:/])(\d{2,3})(?:[.,٫](\d{1,2}))?(?![\d:/])/gu)) {
    const value = Number(`${match[1]}.${match[2] ?? '0'}`);
    if (value >= CELSIUS.from && value <= CELSIUS.to) found.push(value);
    if (value >= FAHRENHEIT.from && value <= FAHRENHEIT.to) found.push(((value - 32) * 5) / 9);
  }
  if (found.length === 0) return null;
  return Math.round(Math.max(...found) * 10) / 10;
}
