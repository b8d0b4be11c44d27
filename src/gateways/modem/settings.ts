import { z } from 'zod';
import { isKnownShift } from '../../core/texts/gsm-alphabet.js';
import { REFUSAL_REASONS } from '../gateway.js';

export const SETTINGS = z.strictObject({
  /** The serial port; best a name that survives unplugging, such as `/dev/serial/by-id/usb-...-if00-port0`. */
  port: z.string().min(1),
  baudRate: z.number().int().min(1_200).max(4_000_000).default(115_200),
  /** The SIM's PIN, if it has one. Tried once: a second wrong try could lock the SIM. */
  pin: z
    .string()
    .regex(/^\d{4,8}$/, '4 to 8 digits')
    .optional(),
  /** The SIM's own number in E.164: families' texts are said to come to it. */
  number: z.string().regex(/^\+[1-9]\d{6,14}$/, 'a number like +15550100000'),
  /** Where the modem keeps texts: SM the SIM, ME the modem. */
  memory: z.enum(['SM', 'ME', 'MT']).default('SM'),
  /** The modem's memory is looked through this often, besides whenever it announces a text. */
  lookEverySeconds: z.number().int().min(1).max(3_600).default(30),
  /** How long the network may take to accept a text; no answer by then leaves it open. */
  sendWithinSeconds: z.number().int().min(5).max(300).default(90),
  wantsReceipts: z.boolean().default(true),
  shifts: z
    .array(z.strictObject({ locking: z.number().int(), single: z.number().int() }).refine(isKnownShift))
    .default([]),
  /** Asks the network for the credit left, for example `*144#`. */
  balanceCode: z
    .string()
    .regex(/^[*#\d]+$/)
    .optional(),
  /** Finds the amount in the network's answer; the first group is the number. */
  balancePattern: z.string().default('([0-9]+(?:[.,][0-9]+)?)'),
  balanceUnit: z.string().default(''),
  /** What the network's refusals mean here, by CMS code, for example `{ "21": "out-of-credit" }`. */
  codeMeanings: z.record(z.string().regex(/^\d{1,5}$/), z.enum(REFUSAL_REASONS)).default({}),
  /**
   * Where to keep which of the modem's 256 references stands for which text, so that receipts find their text after
   * a restart. Without it only receipts that come before a restart do.
   */
  referencesFile: z.string().optional(),
});
export type ModemSettings = z.output<typeof SETTINGS>;
