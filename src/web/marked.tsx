import type { VNode } from 'preact';
import type { Evidence } from '../core/model/reading.js';
import type { Words } from './wording.js';

interface Piece {
  readonly text: string;
  readonly signs: readonly string[];
}

/**
 * Cuts a text into marked and unmarked pieces in turn; a marked piece names every sign its words gave. Spans are UTF-16
 * offsets; those outside the text are cut to it, touching and overlapping ones become one mark. Joining the pieces
 * gives the text again. Pure.
 */
export function piecesOf(text: string, evidence: readonly Evidence[]): readonly Piece[] {
  const spans = evidence
    .map((e) => ({ signs: [e.sign], start: Math.max(0, e.start), end: Math.min(text.length, e.end) }))
    .filter((e) => e.start < e.end)
    .sort((a, b) => a.start - b.start);
  const marks: { signs: string[]; start: number; end: number }[] = [];
  for (const span of spans) {
    const last = marks.at(-1);
    if (last === undefined || span.start > last.end) marks.push(span);
    else {
      last.end = Math.max(last.end, span.end);
      last.signs.push(...span.signs.filter((sign) => !last.signs.includes(sign)));
    }
  }
  const pieces: Piece[] = [];
  let at = 0;
  for (const mark of marks) {
    if (mark.start > at) pieces.push({ text: text.slice(at, mark.start), signs: [] });
    pieces.push({ text: text.slice(mark.start, mark.end), signs: mark.signs });
    at = mark.end;
  }
  if (at < text.length) pieces.push({ text: text.slice(at), signs: [] });
  return pieces;
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
