import { costlyCharacters, type PlainPermission, toPlainSms } from './plain-sms.js';
import { type SegmentOptions, segments } from './segments.js';

/** A language's messages as they would be sent (placeholders filled with likely values), by their key. */
export interface LanguageMessages {
  readonly messages: Readonly<Record<string, string>>;
  readonly plain?: PlainPermission;
}

export interface SegmentsRow {
  readonly language: string;
  readonly key: string;
  readonly encoding: 'gsm-7' | 'ucs-2';
  readonly units: number;
  /** Parts as written, and as sent after the replacements the language allows. */
  readonly partsAsWritten: number;
  readonly parts: number;
  readonly replaced: readonly (readonly [from: string, to: string])[];
  /** Characters that still force the wide alphabet. */
  readonly costly: readonly string[];
}

export interface SegmentsReport {
  readonly rows: readonly SegmentsRow[];
  readonly languages: readonly {
    readonly language: string;
    readonly messages: number;
    readonly parts: number;
    readonly longest: number;
    readonly wide: number;
  }[];
}

/** Counts what every message of every language costs: the audit behind `toeline segments`. Pure. */
export function segmentsReport(
  messagesByLanguage: Readonly<Record<string, LanguageMessages>>,
  options: SegmentOptions = {},
): SegmentsReport {
  const rows = Object.entries(messagesByLanguage).flatMap(([language, { messages, plain }]) =>
    Object.entries(messages).map(([key, body]) => row(language, key, body, plain, options)),
  );
  const languages = Object.keys(messagesByLanguage).map((language) => {
    const own = rows.filter((one) => one.language === language);
    return {
      language,
      messages: own.length,
      parts: own.reduce((sum, one) => sum + one.parts, 0),
      longest: Math.max(0, ...own.map((one) => one.parts)),
      wide: own.filter((one) => one.encoding === 'ucs-2').length,
    };
  });
  return { rows, languages };
}

function row(
  language: string,
  key: string,
  body: string,
  permission: PlainPermission | undefined,
  options: SegmentOptions,
): SegmentsRow {
  const plain = permission ? toPlainSms(body, permission, options) : { body, replaced: [] };
  const { encoding, units, parts } = segments(plain.body, options);
  return {
    language,
    key,
    encoding,
    units,
    partsAsWritten: segments(body, options).parts.length,
    parts: parts.length,
    replaced: plain.replaced,
    costly: encoding === 'ucs-2' ? costlyCharacters(plain.body) : [],
  };
}

/** The report as lines for a terminal: one a message, then one a language. */
export function segmentsLines(report: SegmentsReport): string[] {
  const lines = report.rows.map((one) => {
    const saved = one.replaced.map(([from, to]) => `${from}→${to === '' ? 'nothing' : to}`).join(' ');
    const why = one.costly.length > 0 ? `  because of ${one.costly.slice(0, 8).join(' ')}` : '';
    const parts = `${one.parts} part${one.parts === 1 ? '' : 's'}`;
    const note = saved === '' ? why : `  (${one.partsAsWritten} as written; ${saved})`;
    return `${one.language}  ${one.key}  ${one.encoding}  ${one.units}  ${parts}${note}`;
  });
  const totals = report.languages.map(
    (one) =>
      `${one.language}: ${one.messages} messages, ${one.parts} parts, longest ${one.longest}, ${one.wide} in the wide alphabet`,
  );
  return [...lines, ...totals];
}
