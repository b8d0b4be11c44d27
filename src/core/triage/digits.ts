/** First code points of the decimal digit rows families write with: Arabic-Indic, Persian, Devanagari, Bengali, wide. */
const ZEROS = [0x0660, 0x06f0, 0x0966, 0x09e6, 0xff10];

/** The text with native decimal digits written as 0-9; lengths and offsets stay as they were. */
export function digitsToAscii(text: string): string {
  return text.replace(/[٠-٩۰-۹०-९০-৯０-９]/gu, (digit) => {
    const code = digit.codePointAt(0) ?? 0;
    const zero = ZEROS.find((first) => code >= first && code < first + 10);
    return zero === undefined ? digit : String(code - zero);
  });
}
