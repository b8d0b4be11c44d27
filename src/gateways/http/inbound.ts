import { createHash, createHmac, randomUUID, timingSafeEqual } from 'node:crypto';
import { header, rawOf, utf8 } from '../body.js';
import type { DeliveryReport, InboundRead, InboundText, WebhookRequest } from '../gateway.js';
import { at, type Field, find, jsonOf, parametersOf, type Source } from './field.js';
import type { Calls, Check, Reports, Texts } from './settings.js';

/** Reads one call of a provider as its settings describe it. `now` is the time on the wall in ms. */
export function readCall(request: WebhookRequest, calls: Calls, now: number): InboundRead {
  const raw = rawOfCall(request);
  const { source, isUtf8 } = sourceOf(request);
  const fault = faultOf(request, calls.check, source, now);
  if (fault) return { kind: 'not-genuine', words: fault };
  if (!isUtf8) return { kind: 'unreadable', words: 'the call is not UTF-8', raw };
  const texts = calls.texts ? itemsOf(source, calls.texts.list).flatMap(textOf(calls.texts, raw)) : [];
  const reports = calls.reports
    ? itemsOf(source, calls.reports.list).flatMap(reportOf(calls.reports, raw))
    : [];
  if (texts.length + reports.length === 0) {
    return { kind: 'unreadable', words: 'neither a text nor a report as the settings describe them', raw };
  }
  return { kind: 'genuine', texts, reports, reply: calls.reply };
}

function rawOfCall(request: WebhookRequest): string {
  const query = request.url.split(/\?(.*)/s, 2)[1];
  return [query, request.rawBody.length > 0 ? rawOf(request.rawBody) : undefined]
    .filter((part) => part !== undefined)
    .join('\n');
}

function sourceOf(request: WebhookRequest): { source: Source; isUtf8: boolean } {
  const whole = utf8(request.rawBody);
  const text = whole ?? request.rawBody.toString('latin1');
  const query = parametersOf(request.url.split(/\?(.*)/s, 2)[1] ?? '');
  const isForm = (header(request, 'content-type') ?? '').includes('application/x-www-form-urlencoded');
  const form = parametersOf(isForm ? text : '');
  return {
    source: {
      json: jsonOf(text),
      query: query.values,
      form: form.values,
      header: (name) => header(request, name),
      text,
    },
    isUtf8: whole !== undefined && query.isUtf8 && form.isUtf8,
  };
}

/** The call itself, or each entry of the list it carries. */
function itemsOf(source: Source, list: string | undefined): Source[] {
  if (list === undefined) return [source];
  const entries = at(source.json, list);
  return Array.isArray(entries) ? entries.map((json: unknown) => ({ ...source, json })) : [];
}

function applies(
  when: { readonly field: Field; readonly is: readonly string[] } | undefined,
  source: Source,
): boolean {
  if (!when) return true;
  const value = find(when.field, source);
  return value !== undefined && (when.is.length === 0 || when.is.includes(value));
}

function textOf(settings: Texts, raw: string): (source: Source) => InboundText[] {
  return (source) => {
    const from = find(settings.from, source);
    const body = find(settings.body, source);
    if (!applies(settings.when, source) || from === undefined || body === undefined) return [];
    const sentAt = instant(find(settings.at, source));
    const part = partOf(settings, source);
    const text = {
      providerId: find(settings.id, source) ?? derivedId([from, body, sentAt], sentAt !== undefined),
      from: settings.sendersLackPlus && /^[1-9]\d{6,14}$/.test(from) ? `+${from}` : from,
      to: find(settings.to, source) ?? '',
      body,
      ...(sentAt === undefined ? {} : { at: sentAt }),
      ...(part === undefined ? {} : { part }),
      raw,
    };
    return [text];
  };
}

/**
 * An id where the provider gives none: the same for a repeat when it says when the text was sent; otherwise a new one
 * each time, because two families' "yes" must never be taken for one.
 */
function derivedId(content: readonly (string | undefined)[], isDated: boolean): string {
  if (!isDated) return `http-${randomUUID()}`;
  return `http-${createHash('sha256').update(JSON.stringify(content)).digest('hex').slice(0, 32)}`;
}

function partOf(settings: Texts, source: Source) {
  if (!settings.part) return undefined;
  const number = Number(find(settings.part.number, source));
  const total = Number(find(settings.part.total, source));
  const ref = Number(find(settings.part.ref, source));
  const isPart = [ref, number, total].every(Number.isInteger) && total > 1 && number >= 1 && number <= total;
  return isPart ? { ref, number, total } : undefined;
}

function reportOf(settings: Reports, raw: string): (source: Source) => DeliveryReport[] {
  return (source) => {
    const word = find(settings.state, source);
    const ourId = find(settings.ourId, source);
    const providerId = find(settings.id, source) ?? ourId;
    if (!applies(settings.when, source) || word === undefined || providerId === undefined) return [];
    const code = find(settings.code, source);
    const reason = code === undefined ? undefined : settings.reasons[code];
    const sentAt = instant(find(settings.at, source));
    const report = {
      providerId,
      ...(ourId === undefined ? {} : { ourId }),
      state: settings.states[word] ?? 'unknown',
      ...(reason === undefined ? {} : { reason }),
      ...(code === undefined ? {} : { code }),
      ...(sentAt === undefined ? {} : { at: sentAt }),
      raw,
    };
    return [report];
  };
}

/** A provider's time: ISO with an offset, or seconds or milliseconds since 1970. Anything else is left out. */
function instant(value: string | undefined): string | undefined {
  if (value === undefined) return undefined;
  if (/^\d{9,10}$/.test(value)) return new Date(Number(value) * 1_000).toISOString();
  if (/^\d{12,13}$/.test(value)) return new Date(Number(value)).toISOString();
  const hasOffset = /^\d{4}-\d\d-\d\dT[\d:.]+(Z|[+-]\d\d:?\d\d)$/.test(value);
  return hasOffset && !Number.isNaN(Date.parse(value)) ? value : undefined;
}

function faultOf(request: WebhookRequest, check: Check, source: Source, now: number): string | undefined {
  switch (check.by) {
    case 'secret':
      return isSame(find(check.in, source), check.secret) ? undefined : 'the secret is missing or wrong';
    case 'basic': {
      const wanted = `Basic ${Buffer.from(`${check.user}:${check.password}`).toString('base64')}`;
      return isSame(source.header('authorization'), wanted)
        ? undefined
        : 'user or password is missing or wrong';
    }
    case 'hmac':
      return faultOfHmac(request, check, source, now);
    default:
      throw new Error(`a check nobody wrote: ${JSON.stringify(check satisfies never)}`);
  }
}

function faultOfHmac(
  request: WebhookRequest,
  check: Extract<Check, { by: 'hmac' }>,
  source: Source,
  now: number,
): string | undefined {
  const given = find(check.signature, source);
  if (given === undefined) return 'no signature';
  const timestamp = find(check.timestamp, source);
  if (check.timestamp) {
    const seconds = Number(timestamp);
    const ms = seconds > 100_000_000_000 ? seconds : seconds * 1_000;
    if (!(Math.abs(now - ms) <= check.replayWindowSeconds * 1_000)) {
      return 'signed too long ago or in the future: a replay, or a clock that is wrong';
    }
  }
  const hmac = createHmac(check.hash, check.secret);
  for (const piece of check.over.split(/(\{body\}|\{url\}|\{timestamp\})/)) {
    if (piece === '{body}') hmac.update(request.rawBody);
    else if (piece === '{url}') hmac.update(request.url);
    else hmac.update(piece === '{timestamp}' ? (timestamp ?? '') : piece);
  }
  const wanted = check.prefix + hmac.digest(check.written);
  return isSame(given, wanted) ? undefined : 'the signature does not match';
}

/** Constant in time for values of one length. */
function isSame(given: string | undefined, wanted: string): boolean {
  const one = Buffer.from(given ?? '');
  const other = Buffer.from(wanted);
  return one.length === other.length && timingSafeEqual(one, other);
}
