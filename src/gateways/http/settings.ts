import { z } from 'zod';
import { DELIVERY_STATES } from '../../core/texts/delivery-order.js';
import { REFUSAL_REASONS } from '../gateway.js';
import { FIELD } from './field.js';
import { templatesIn, unknownNames } from './template.js';

const template = z.string().min(1);

const SEND = z.strictObject({
  method: z.enum(['GET', 'POST', 'PUT']).default('POST'),
  /** Values put into it are percent-encoded. */
  url: template,
  headers: z.record(z.string(), template).default({}),
  /** At most one of the two. */
  form: z.record(z.string(), template).optional(),
  json: z.record(z.string(), z.unknown()).optional(),
  timeoutMs: z.number().int().min(100).max(120_000).default(15_000),
});

/** A meaning of the provider's answer. The first rule whose conditions all hold counts; if none does: unknown. */
const RULE = z.strictObject({
  /** A status, or from-to. */
  status: z.union([z.number().int(), z.tuple([z.number().int(), z.number().int()])]).optional(),
  /** This field has one of these values; `[]`: it is there at all. */
  where: z.strictObject({ field: FIELD, is: z.array(z.string()).default([]) }).optional(),
  means: z.enum(['accepted', 'unknown', ...REFUSAL_REASONS]),
  /** Where the provider's id stands; `"ours"` for a provider that gives none but repeats our id in its reports. */
  id: z.union([FIELD, z.literal('ours')]).optional(),
  code: FIELD.optional(),
  words: FIELD.optional(),
  parts: FIELD.optional(),
  retryAfterSeconds: z.number().positive().optional(),
});
export type Rule = z.output<typeof RULE>;

const secret = z.string().min(8, 'needs at least 8 characters');

/** How a call proves that it comes from the provider. */
const CHECK = z.discriminatedUnion('by', [
  z.strictObject({ by: z.literal('secret'), secret, in: FIELD }),
  z.strictObject({ by: z.literal('basic'), user: z.string().min(1), password: secret }),
  z.strictObject({
    by: z.literal('hmac'),
    secret,
    hash: z.enum(['sha1', 'sha256', 'sha512']).default('sha256'),
    signature: FIELD,
    /** Stands before the signature, such as `sha256=`. */
    prefix: z.string().default(''),
    written: z.enum(['hex', 'base64']).default('hex'),
    /** What is signed: `{body}`, `{url}`, `{timestamp}` and whatever stands between. */
    over: z.string().includes('{').default('{body}'),
    timestamp: FIELD.optional(),
    replayWindowSeconds: z.number().int().min(1).max(86_400).default(300),
  }),
]);
export type Check = z.output<typeof CHECK>;

const TEXTS = z.strictObject({
  /** Where the list of texts stands when one call carries several. */
  list: z.string().optional(),
  /** Only calls in which this field has one of these values are texts; by default those with a sender and a body. */
  when: z.strictObject({ field: FIELD, is: z.array(z.string()).default([]) }).optional(),
  id: FIELD.optional(),
  from: FIELD,
  to: FIELD,
  body: FIELD,
  at: FIELD.optional(),
  part: z.strictObject({ ref: FIELD, number: FIELD, total: FIELD }).optional(),
  /** Senders come without their plus sign. */
  sendersLackPlus: z.boolean().default(false),
});
export type Texts = z.output<typeof TEXTS>;

const REPORTS = z.strictObject({
  list: z.string().optional(),
  when: z.strictObject({ field: FIELD, is: z.array(z.string()).default([]) }).optional(),
  id: FIELD.optional(),
  ourId: FIELD.optional(),
  state: FIELD,
  /** The provider's words for states; one that is not here is `unknown`. */
  states: z.record(z.string(), z.enum(DELIVERY_STATES)),
  code: FIELD.optional(),
  /** Codes of failures whose cause is known. */
  reasons: z.record(z.string(), z.enum(REFUSAL_REASONS)).default({}),
  at: FIELD.optional(),
});
export type Reports = z.output<typeof REPORTS>;

const CALLS = z.strictObject({
  check: CHECK,
  texts: TEXTS.optional(),
  reports: REPORTS.optional(),
  reply: z
    .strictObject({
      status: z.number().int().min(200).max(299).default(200),
      type: z.string().default('text/plain; charset=utf-8'),
      body: z.string().default(''),
    })
    .default({ status: 200, type: 'text/plain; charset=utf-8', body: '' }),
});
export type Calls = z.output<typeof CALLS>;

export const SETTINGS = z
  .strictObject({
    from: z.string().min(1),
    /** Named in templates as `{secret.<name>}`. */
    secrets: z.record(z.string().regex(/^\w+$/), z.string().min(1)).default({}),
    send: SEND,
    /** The address reports shall come to; `{hook}?text={id}` and whatever the provider replaces itself. */
    reportUrl: template.optional(),
    /** The provider's words for the alphabets, for `{encoding}`. */
    encodings: z.strictObject({ 'gsm-7': z.string(), 'ucs-2': z.string() }).optional(),
    answers: z.array(RULE).min(1, 'needs at least one rule that means "accepted"'),
    calls: CALLS.optional(),
  })
  .superRefine((settings, context) => {
    const names = Object.keys(settings.secrets);
    for (const one of templatesIn([settings.send, settings.reportUrl])) {
      for (const name of unknownNames(one, names)) {
        context.addIssue({ code: 'custom', message: `a template names {${name}}, which nobody knows` });
      }
    }
    if (settings.send.form && settings.send.json) {
      context.addIssue({ code: 'custom', path: ['send'], message: 'give "form" or "json", not both' });
    }
    if (!settings.answers.some((rule) => rule.means === 'accepted' && rule.id)) {
      context.addIssue({
        code: 'custom',
        path: ['answers'],
        message: 'needs a rule that means "accepted" and says where the provider\'s id stands',
      });
    }
  });
export type HttpSettings = z.output<typeof SETTINGS>;
