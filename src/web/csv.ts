/** One line of a table: its fields and the line of the file it begins on. */
export interface CsvRow {
  readonly line: number;
  readonly fields: readonly string[];
}

/**
 * Reads comma-separated text (RFC 4180): quoted fields may hold commas, line breaks and doubled quotes; lines end in
 * LF or CRLF; a byte order mark is skipped; the separator is a semicolon or a tab where the first line has more of
 * those than of commas, as spreadsheets in many countries write. Empty lines are left out. Pure.
 */
export function readCsv(text: string): CsvRow[] {
  const body = text.replace(/^\uFEFF/, '');
  const separator = separatorOf(body.slice(0, body.search(/[\r\n]|$/)));
  const rows: CsvRow[] = [];
  let fields: string[] = [];
  let field = '';
  let isQuoted = false;
  let line = 1;
  let startedOn = 1;
  const endRow = () => {
    fields.push(field);
    if (fields.some((one) => one.trim() !== '')) rows.push({ line: startedOn, fields });
    fields = [];
    field = '';
  };
  for (let i = 0; i < body.length; i += 1) {
    const c = body[i];
    if (c === '\n') line += 1;
    if (isQuoted) {
      if (c !== '"') field += c;
      else if (body[i + 1] === '"') {
        field += '"';
        i += 1;
      } else isQuoted = false;
    } else if (c === '"' && field === '') isQuoted = true;
    else if (c === separator) {
      fields.push(field);
      field = '';
    } else if (c === '\n') {
      endRow();
      startedOn = line;
    } else if (c !== '\r') field += c;
  }
  endRow();
  return rows;
}

function separatorOf(firstLine: string): string {
  const count = (one: string) => firstLine.split(one).length;
  return [',', ';', '\t'].reduce((best, one) => (count(one) > count(best) ? one : best));
}

/**
 * A table as comma-separated text for a spreadsheet. A field that a spreadsheet would take for a formula gets an
 * apostrophe before it (OWASP, CSV injection).
 */
export function writeCsv(rows: readonly (readonly (string | number | null)[])[]): string {
  return rows
    .map((row) => row.map(writeField).join(','))
    .join('\r\n')
    .concat('\r\n');
}

function writeField(value: string | number | null): string {
  if (value === null) return '';
  if (typeof value === 'number') return String(value);
  const safe = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}
