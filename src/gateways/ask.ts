/** How a web request to a provider ended. Only `never-left` proves that nothing was sent. */
export type Answer =
  | { readonly kind: 'answered'; readonly status: number; readonly headers: Headers; readonly body: string }
  | { readonly kind: 'never-left'; readonly words: string }
  | { readonly kind: 'no-answer'; readonly words: string };

/** Failures from before a connection stood: no byte of the request can have reached the provider. */
const BEFORE_CONNECTED = new Set([
  'ECONNREFUSED',
  'ENOTFOUND',
  'EAI_AGAIN',
  'EHOSTUNREACH',
  'ENETUNREACH',
  'ENETDOWN',
  'UND_ERR_CONNECT_TIMEOUT',
  'CERT_HAS_EXPIRED',
  'DEPTH_ZERO_SELF_SIGNED_CERT',
  'SELF_SIGNED_CERT_IN_CHAIN',
  'UNABLE_TO_VERIFY_LEAF_SIGNATURE',
  'ERR_TLS_CERT_ALTNAME_INVALID',
]);

export interface Question {
  readonly method: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body?: string;
  readonly timeoutMs: number;
}

/** Asks a provider over HTTP and never throws: the three endings are kept apart because they mean different things. */
export async function ask(url: string, question: Question): Promise<Answer> {
  try {
    const response = await fetch(url, {
      method: question.method,
      headers: { ...question.headers },
      ...(question.body === undefined ? {} : { body: question.body }),
      signal: AbortSignal.timeout(question.timeoutMs),
      redirect: 'manual',
    });
    const body = await response.text();
    return { kind: 'answered', status: response.status, headers: response.headers, body };
  } catch (error) {
    const code = codeOf(error);
    if (code !== undefined && BEFORE_CONNECTED.has(code)) {
      return { kind: 'never-left', words: `the provider could not be reached (${code})` };
    }
    if (error instanceof Error && error.name === 'TimeoutError') {
      return { kind: 'no-answer', words: `no answer within ${question.timeoutMs} ms` };
    }
    return { kind: 'no-answer', words: `the line broke before an answer came (${code ?? 'unknown cause'})` };
  }
}

/** The system's or the TLS layer's code, wherever in the chain of causes it stands. */
export function codeOf(error: unknown): string | undefined {
  for (let at = error, depth = 0; at instanceof Error && depth < 5; at = at.cause, depth += 1) {
    const code: unknown = 'code' in at ? at.code : undefined;
    if (typeof code === 'string') return code;
  }
  return undefined;
}

/** Claims that `error` struck before any byte could reach the provider. */
export function struckBeforeConnected(error: unknown): boolean {
  const code = codeOf(error);
  return code !== undefined && BEFORE_CONNECTED.has(code);
}

/** Seconds of a `Retry-After` header given as a number; undefined when absent or a date. */
export function retryAfter(headers: Headers): number | undefined {
  const seconds = Number(headers.get('retry-after') ?? Number.NaN);
  return Number.isFinite(seconds) && seconds >= 0 ? seconds : undefined;
}
