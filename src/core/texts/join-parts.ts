/** One part of a long text: parts with the same sender, receiver, `ref` and `total` belong together. */
export interface TextPart {
  /** The sender's reference number, 0-255 or 0-65535; phones reuse it. */
  readonly ref: number;
  /** 1-based. */
  readonly number: number;
  readonly total: number;
}

/** A part as it was stored. `id` is whatever the store calls the row. */
export interface PartReceived {
  readonly id: string;
  readonly from: string;
  readonly to: string;
  readonly body: string;
  readonly part: TextPart;
  /** When it was received, ms. */
  readonly at: number;
}

export interface JoinedText {
  readonly from: string;
  readonly to: string;
  /** The parts in their order; a missing one shows as `[…]`. */
  readonly body: string;
  readonly isWhole: boolean;
  /** Numbers of the parts that did not come. */
  readonly missing: readonly number[];
  /** Every stored part that went into it, repeats included. */
  readonly ids: readonly string[];
  /** When the first part was received, ms. */
  readonly at: number;
}

export interface Joined {
  readonly ready: readonly JoinedText[];
  /** Parts still waiting for others, and when to look again (ms); null when nothing waits. */
  readonly waiting: readonly PartReceived[];
  readonly lookAgainAt: number | null;
}

/** Stands where a part never came, so that a reader sees that words are missing. */
export const MISSING_PART = '[…]';
/** How long to wait for the other parts after the latest one. Common practice, no source. */
export const WAIT_FOR_PARTS_MS = 10 * 60_000;

/**
 * Joins the parts of long texts, whatever their order. A text is ready when all parts are there, or when none came for
 * `waitMs`: then it is read as far as it goes and says what is missing. A repeated part is swallowed; the same
 * number with other words means that the phone has started a new text under an old reference, and opens a new one.
 * Every part given is in exactly one text or still waiting: nothing is dropped. Pure.
 */
export function joinParts(
  parts: readonly PartReceived[],
  nowMs: number,
  waitMs: number = WAIT_FOR_PARTS_MS,
): Joined {
  const ready: JoinedText[] = [];
  const waiting: PartReceived[] = [];
  let lookAgainAt: number | null = null;
  for (const group of grouped(parts, waitMs)) {
    const last = Math.max(...group.map((one) => one.at));
    if (isComplete(group) || last + waitMs <= nowMs) {
      ready.push(joined(group));
    } else {
      waiting.push(...group);
      lookAgainAt = Math.min(lookAgainAt ?? Number.POSITIVE_INFINITY, last + waitMs);
    }
  }
  return { ready, waiting, lookAgainAt };
}

function grouped(parts: readonly PartReceived[], waitMs: number): PartReceived[][] {
  const groups = new Map<string, PartReceived[][]>();
  const byTime = [...parts].sort((one, other) => one.at - other.at);
  for (const part of byTime) {
    const key = JSON.stringify([part.from, part.to, part.part.ref, part.part.total]);
    const same = groups.get(key) ?? [];
    const home = same.find((group) => belongs(part, group, waitMs));
    if (home) home.push(part);
    else same.push([part]);
    groups.set(key, same);
  }
  return [...groups.values()].flat();
}

/** A part joins a group that lacks its number, or has it with the very same words, and is not long over. */
function belongs(part: PartReceived, group: readonly PartReceived[], waitMs: number): boolean {
  const last = Math.max(...group.map((one) => one.at));
  if (part.at - last > waitMs) return false;
  const twin = group.find((one) => one.part.number === part.part.number);
  if (twin) return twin.body === part.body;
  return !isComplete(group);
}

function isComplete(group: readonly PartReceived[]): boolean {
  const total = group[0]?.part.total ?? 0;
  const numbers = new Set(group.map((one) => one.part.number).filter((one) => one >= 1 && one <= total));
  return numbers.size >= total;
}

function joined(group: readonly PartReceived[]): JoinedText {
  const bodies = new Map<number, string>();
  for (const one of group) bodies.set(one.part.number, one.body);
  const total = group[0]?.part.total ?? 0;
  const missing: number[] = [];
  for (let number = 1; number <= total; number += 1) if (!bodies.has(number)) missing.push(number);
  const gaps = missing.map((number): [number, string] => [number, MISSING_PART]);
  const inOrder = [...bodies, ...gaps].sort(([one], [other]) => one - other);
  return {
    from: group[0]?.from ?? '',
    to: group[0]?.to ?? '',
    body: inOrder.map(([, body]) => body).join(''),
    isWhole: missing.length === 0,
    missing,
    ids: group.map((one) => one.id),
    at: Math.min(...group.map((one) => one.at)),
  };
}
