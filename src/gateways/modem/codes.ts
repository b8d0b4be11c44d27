import type { RefusalReason } from '../gateway.js';

/**
 * What a refusal by the network or the modem means, by the code of `+CMS ERROR` (3GPP TS 27.005 section 3.2.5; codes up
 * to 127 are those of TS 24.011 annex E-2). There is no code for an empty account: networks answer as they like, often
 * with 21, 29, 50 or 69 (from memory), so those can be named in the settings, and the balance can be asked for.
 */
const REASONS: Readonly<Record<number, RefusalReason>> = {
  1: 'wrong-number',
  8: 'not-allowed',
  10: 'not-allowed',
  21: 'not-allowed',
  27: 'unreachable',
  28: 'wrong-number',
  29: 'not-allowed',
  30: 'wrong-number',
  38: 'try-later',
  41: 'try-later',
  42: 'try-later',
  47: 'try-later',
  50: 'not-allowed',
  69: 'not-allowed',
  304: 'not-allowed',
  310: 'not-allowed',
  311: 'not-allowed',
  313: 'not-allowed',
  314: 'try-later',
  316: 'not-allowed',
  330: 'not-allowed',
  331: 'try-later',
};

/** After these nobody knows whether the text went: the network was asked and did not answer, or the modem lost count. */
const OPEN = new Set([332, 500]);

export function reasonOfCms(
  code: number | undefined,
  named: Readonly<Record<string, RefusalReason>>,
): RefusalReason | 'unknown' {
  if (code === undefined) return 'unknown';
  const meaning = named[String(code)] ?? REASONS[code];
  if (meaning) return meaning;
  /* A maker's own codes start at 512 and tell nothing without its handbook. */
  return OPEN.has(code) || code >= 512 ? 'unknown' : 'not-allowed';
}
