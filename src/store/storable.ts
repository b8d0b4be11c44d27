/**
 * PostgreSQL's `text` holds neither NUL nor a lone half of a surrogate pair, and a phone may send both. What people
 * read shows a mark in their place; what is kept as raw escapes them, so that nothing that arrived is lost.
 */

const LONE_SURROGATE = /[\uD800-\uDBFF](?![\uDC00-\uDFFF])|(?<![\uD800-\uDBFF])[\uDC00-\uDFFF]/g;
const NUL = String.fromCharCode(0);

/** For reading: NUL becomes U+2400 (the picture of it), half a surrogate pair U+FFFD. */
export function readable(text: string): string {
  return text.replaceAll(NUL, '\u2400').replace(LONE_SURROGATE, '\uFFFD');
}

/** For keeping: a backslash doubles, NUL and half pairs become `\uXXXX`. {@link fromKept} gives the original back. */
export function kept(raw: string): string {
  return raw
    .replaceAll('\\', '\\\\')
    .replaceAll(NUL, '\\u0000')
    .replace(LONE_SURROGATE, (half) => `\\u${half.charCodeAt(0).toString(16)}`);
}

/** The exact text {@link kept} was given. */
export function fromKept(stored: string): string {
  return stored.replace(/\\(\\|u[0-9a-f]{4})/g, (_all, code: string) =>
    code === '\\' ? '\\' : String.fromCharCode(Number.parseInt(code.slice(1), 16)),
  );
}
