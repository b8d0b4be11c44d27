/** One part of a long text: parts with the same sender, receiver, `ref` and `total` belong together. */
export interface TextPart {
  /** The sender's reference number, 0-255 or 0-65535; phones reuse it. */
  readonly ref: number;
  /** 1-based. */
  readonly number: number;
  readonly total: number;
}
