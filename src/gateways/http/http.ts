import { encodeUcs2 } from '../../core/texts/pdu/user-data.js';
import { segments } from '../../core/texts/segments.js';
import { type Answer, ask, retryAfter } from '../ask.js';
import type {
  Gateway,
  InboundRead,
  OutboundText,
  SendResult,
  Surroundings,
  WebhookRequest,
} from '../gateway.js';
import { describeKind } from '../kind.js';
import { find, jsonOf, type Source } from './field.js';
import { readCall } from './inbound.js';
import { type HttpSettings, type Rule, SETTINGS } from './settings.js';
import { fill, fillJson, fillUrl, type Values } from './template.js';

/** Any provider with an HTTP interface, described by settings: requests, answers and calls back. */
export class HttpGateway implements Gateway {
  readonly kind = 'http';
  readonly readInbound?: (request: WebhookRequest) => InboundRead;
  #closed = false;

  constructor(
    readonly name: string,
    private readonly settings: HttpSettings,
    private readonly around: Surroundings,
  ) {
    const { calls } = settings;
    if (calls) this.readInbound = (request) => readCall(request, calls, around.wallNow());
  }

  async send(text: OutboundText): Promise<SendResult> {
    if (this.#closed) return { kind: 'refused', reason: 'try-later', words: 'this gateway is closed' };
    const { send, answers } = this.settings;
    const values = this.#valuesOf(text);
    const body = bodyOf(send, values);
    const answer = await ask(fillUrl(send.url, values), {
      method: send.method,
      headers: { ...body.headers, ...headersOf(send.headers, values) },
      ...(body.content === undefined ? {} : { body: body.content }),
      timeoutMs: send.timeoutMs,
    });
    return understood(answer, answers, text.id);
  }

  async close(): Promise<void> {
    this.#closed = true;
  }

  #valuesOf(text: OutboundText): Values {
    const { encoding, parts } = segments(text.body);
    const from = text.from ?? this.settings.from;
    const seconds = text.validForSeconds === undefined ? undefined : Math.floor(text.validForSeconds);
    const secrets = Object.entries(this.settings.secrets).map(([name, value]) => [`secret.${name}`, value]);
    const values = {
      ...(Object.fromEntries(secrets) as Record<string, string>),
      id: text.id,
      to: text.to,
      'to.digits': text.to.replace(/^\+/, ''),
      from,
      'from.digits': from.replace(/^\+/, ''),
      body: text.body,
      'body.ucs2hex': Buffer.from(encodeUcs2(text.body)).toString('hex').toUpperCase(),
      ...(this.settings.encodings ? { encoding: this.settings.encodings[encoding] } : {}),
      parts: String(parts.length),
      ...(seconds === undefined ? {} : { validForSeconds: String(seconds) }),
      ...(seconds === undefined ? {} : { validForMinutes: String(Math.max(1, Math.floor(seconds / 60))) }),
      hook: `${this.around.publicUrl}/hooks/${this.name}`,
    };
    const { reportUrl } = this.settings;
    if (reportUrl === undefined) return values;
    /* The webhook's own address must stay an address, so only the other values are escaped in it. */
    const address = fillUrl(reportUrl.replaceAll('{hook}', values.hook), values);
    return { ...values, reportUrl: address };
  }
}

function headersOf(headers: Readonly<Record<string, string>>, values: Values): Record<string, string> {
  const filled = Object.entries(headers).map(([name, template]) => [name, fill(template, values)] as const);
  return Object.fromEntries(filled.filter((one): one is readonly [string, string] => one[1] !== undefined));
}

function bodyOf(
  send: HttpSettings['send'],
  values: Values,
): { headers: Record<string, string>; content?: string } {
  if (send.json) {
    const content = JSON.stringify(fillJson(send.json, values));
    return { headers: { 'content-type': 'application/json' }, content };
  }
  if (!send.form) return { headers: {} };
  const form = new URLSearchParams();
  for (const [name, template] of Object.entries(send.form)) {
    const value = fill(template, values);
    if (value !== undefined) form.set(name, value);
  }
  const headers = { 'content-type': 'application/x-www-form-urlencoded' };
  return { headers, content: form.toString() };
}

function understood(answer: Answer, rules: readonly Rule[], ourId: string): SendResult {
  if (answer.kind === 'never-left') return { kind: 'refused', reason: 'try-later', words: answer.words };
  if (answer.kind === 'no-answer') return { kind: 'unknown', words: answer.words };
  const source: Source = {
    json: jsonOf(answer.body),
    query: new Map(),
    form: new Map(),
    header: (name) => answer.headers.get(name) ?? undefined,
    text: answer.body,
  };
  const rule = rules.find((one) => holds(one, answer.status, source));
  const words = find(rule?.words, source) ?? `status ${answer.status}: ${answer.body.slice(0, 200)}`;
  if (!rule || rule.means === 'unknown') return { kind: 'unknown', words };
  if (rule.means === 'accepted') return accepted(rule, source, words, ourId);
  const code = find(rule.code, source);
  const wait = rule.retryAfterSeconds ?? retryAfter(answer.headers);
  return {
    kind: 'refused',
    reason: rule.means,
    ...(wait === undefined ? {} : { retryAfterSeconds: wait }),
    ...(code === undefined ? {} : { code }),
    words,
  };
}

function accepted(rule: Rule, source: Source, words: string, ourId: string): SendResult {
  const providerId = rule.id === 'ours' ? ourId : find(rule.id, source);
  if (!providerId) return { kind: 'unknown', words: `accepted, it seems, but without an id: ${words}` };
  const parts = Number(find(rule.parts, source));
  return { kind: 'accepted', providerId, ...(Number.isInteger(parts) && parts > 0 ? { parts } : {}) };
}

function holds(rule: Rule, status: number, source: Source): boolean {
  if (rule.status !== undefined) {
    const [from, to] = typeof rule.status === 'number' ? [rule.status, rule.status] : rule.status;
    if (status < from || status > to) return false;
  }
  if (!rule.where) return true;
  const value = find(rule.where.field, source);
  return value !== undefined && (rule.where.is.length === 0 || rule.where.is.includes(value));
}

export const httpKind = describeKind({
  kind: 'http',
  schema: SETTINGS,
  open: (name, config, around) => new HttpGateway(name, config, around),
});
