import { z } from 'zod';
import { isKnownShift } from '../../core/texts/gsm-alphabet.js';
import { REFUSAL_REASONS } from '../gateway.js';

const seconds = z.number().int().min(1).max(3_600);

export const SETTINGS = z.strictObject({
  host: z.string().min(1),
  port: z.number().int().min(1).max(65_535).default(2_775),
  tls: z.boolean().default(false),
  systemId: z.string().min(1).max(15),
  /** At most 8 characters, as SMPP 3.4 has it. */
  password: z.string().min(1).max(8),
  systemType: z.string().max(12).default(''),
  /** Number or sender name shown to families. */
  from: z.string().min(1),
  /** Submits under way at once. */
  window: z.number().int().min(1).max(1_000).default(10),
  /** Parts a second the contract allows; null: as fast as the window lets. */
  perSecond: z.number().positive().nullable().default(null),
  /** Silence on the line after which it is asked whether it lives. */
  enquireAfterSeconds: seconds.default(30),
  /** No answer to a submit within this: the text may have gone out. */
  answerWithinSeconds: seconds.default(15),
  /** How long to send nothing after "throttled" (0x58). */
  silenceAfterThrottledSeconds: seconds.default(60),
  /** How long a text waits after "queue full" (0x14). */
  waitAfterQueueFullSeconds: seconds.default(30),
  /** `udh`: we cut long texts. `payload`: the provider does. */
  longTexts: z.enum(['udh', 'payload']).default('udh'),
  /** What the provider takes data_coding 0 for. */
  alphabet: z.enum(['gsm', 'latin-1']).default('gsm'),
  /** National tables the network carries. */
  shifts: z
    .array(z.strictObject({ locking: z.number().int(), single: z.number().int() }).refine(isKnownShift))
    .default([]),
  wantsReceipts: z.boolean().default(true),
  /** How the ids in receipts are written, against those in answers to submits. */
  receiptIds: z.enum(['same', 'submit-hex-receipt-decimal', 'submit-decimal-receipt-hex']).default('same'),
  /** Senders without a type of number are international numbers that lack their plus sign. */
  sendersLackPlus: z.boolean().default(false),
  /** The provider's own status codes, for example `{ "0x400": "out-of-credit" }`. */
  statusMeanings: z.record(z.string().regex(/^0x[0-9a-f]{2,8}$/), z.enum(REFUSAL_REASONS)).default({}),
});
export type SmppSettings = z.output<typeof SETTINGS>;
