import type { VNode } from 'preact';
import type { Evidence, Span } from '../core/model/reading.js';
import type { Words } from './wording.js';

interface Piece {
  readonly text: string;
  readonly signs: readonly string[];
}

/**
 * Cuts a text at the borders of its evidence so that every piece has one set of signs. Spans are UTF-16 offsets;
 * those outside the text are cut to it, overlapping ones are shared. Joining the pieces gives the text again.
 */
export function piecesOf(text: string, evidence: readonly Evidence[]): readonly Piece[] {
  const spans = evidence
    .map((e) => ({ ...e, start: Math.max(0, e.start), end: Math.min(text.length, e.end) }))
    .filter((e) => e.start < e.end);
  const borders = [...new Set([0, text.length, ...spans.flatMap((e: Span) => [e.start, e.end])])].sort(
    (a, b) => a - b,
  );
  return borders.slice(0, -1).map((start, i) => {
    const end = borders[i + 1] ?? text.length;
    const signs = spans.filter((e) => e.start <= start && e.end >= end).map((e) => e.sign);
    return { text: text.slice(start, end), signs: [...new Set(signs)] };
  });
}

/** A family's words with the evidence marked; what each mark was read as is told to screen readers and on hover. */
export function Marked(props: { text: string; evidence: readonly Evidence[]; words: Words }): VNode {
  return (
    <span dir="auto" class="words">
      {piecesOf(props.text, props.evidence).map((piece, i) =>
        piece.signs.length === 0 ? (
          piece.text
        ) : (
          <mark key={i} title={piece.signs.map((s) => props.words.say(`sign.${s}`)).join(', ')}>
            {piece.text}
          </mark>
        ),
      )}
    </span>
  );
}
