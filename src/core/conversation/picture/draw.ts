import type { Definition } from '../definition.js';
import { CARD_WIDTH, type Card, LINE, layOut, ROW, type Row, TITLE } from './layout.js';

/** Fill and edge of each kind of card; told apart by their titles as well as by colour. */
const PAINT = {
  question: { fill: '#ffffff', edge: '#33475b' },
  well: { fill: '#e6f4ea', edge: '#1e6b34' },
  noted: { fill: '#eef2f7', edge: '#44546a' },
  person: { fill: '#fdecea', edge: '#a61b1b' },
} as const;

/**
 * A check-in as an SVG picture made from its definition: a card a question with its answers, silence and
 * misunderstanding, and arrows to what follows. Stands alone (no scripts, no fonts, no links) and has a title and a
 * description for those who cannot see it. Pure.
 */
export function drawCheckIn(definition: Definition, language = 'en'): string {
  const { cards, width, height } = layOut(definition, language);
  const byId = new Map(cards.map((card) => [card.id, card]));
  const arrows = cards.flatMap((card) =>
    card.rows.flatMap((row, index) => {
      const target = row.to === null ? undefined : byId.get(row.to);
      return target ? [arrow(card, index, target, under(cards, card, target))] : [];
    }),
  );
  return [
    `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" aria-labelledby="t d" font-family="sans-serif" font-size="12">`,
    `<title id="t">${escaped(definition.name)}</title>`,
    `<desc id="d">${escaped(inWords(definition, cards))}</desc>`,
    '<defs><marker id="tip" viewBox="0 0 8 8" refX="8" refY="4" markerWidth="8" markerHeight="8" orient="auto"><path d="M0 0 8 4 0 8z" fill="#33475b"/></marker></defs>',
    `<rect width="${width}" height="${height}" fill="#f7f8fa"/>`,
    ...arrows,
    ...cards.map((card) => drawCard(card, language)),
    '</svg>',
  ].join('\n');
}

function drawCard(card: Card, language: string): string {
  const { x, y, height, kind } = card;
  const { fill, edge } = PAINT[kind];
  const rowsFrom = y + TITLE + card.lines.length * LINE + 10;
  const isRightToLeft = language === 'ar';
  const lineX = isRightToLeft ? x + CARD_WIDTH - 12 : x + 12;
  const direction = isRightToLeft ? ' direction="rtl"' : '';
  return [
    `<g><rect x="${x}" y="${y}" width="${CARD_WIDTH}" height="${height}" rx="6" fill="${fill}" stroke="${edge}" stroke-width="1.5"/>`,
    `<text x="${x + 12}" y="${y + 18}" font-weight="bold" font-size="14" fill="${edge}">${escaped(card.title)}</text>`,
    ...card.lines.map(
      (line, index) =>
        `<text x="${lineX}" y="${y + TITLE + 12 + index * LINE}"${direction} fill="#222">${escaped(line)}</text>`,
    ),
    ...card.rows.map((row, index) => drawRow(card, row, rowsFrom + index * ROW)),
    '</g>',
  ].join('');
}

function drawRow({ x }: Card, row: Row, y: number): string {
  const line = `<line x1="${x}" y1="${y}" x2="${x + CARD_WIDTH}" y2="${y}" stroke="#d5dbe3"/>`;
  const style = row.to === null ? ' font-style="italic" fill="#555"' : ' fill="#111"';
  const detail =
    row.detail === ''
      ? ''
      : `<text x="${x + CARD_WIDTH - 10}" y="${y + 14}" text-anchor="end" fill="#555" font-size="11">${escaped(row.detail)}</text>`;
  return `${line}<text x="${x + 12}" y="${y + 14}"${style}>${escaped(row.label)}</text>${detail}`;
}

/** The height at which an arrow passes beneath the cards that stand between, or null when none does. */
function under(cards: readonly Card[], from: Card, to: Card): number | null {
  const between = cards.filter(({ x }) => x > from.x && x < to.x);
  if (between.length === 0) return null;
  return Math.max(...between.map(({ y, height }) => y + height)) + CHANNEL;
}

const CHANNEL = 14;
const TURN = 60;

function arrow(from: Card, index: number, to: Card, beneath: number | null): string {
  const x = from.x + CARD_WIDTH;
  const y = from.y + TITLE + from.lines.length * LINE + 10 + index * ROW + ROW / 2;
  const toY = to.y + TITLE / 2;
  const bend = Math.max(40, (to.x - x) / 2);
  const way =
    beneath === null
      ? `C${x + bend} ${y} ${to.x - bend} ${toY} ${to.x} ${toY}`
      : `C${x + TURN} ${y} ${x} ${beneath} ${x + TURN} ${beneath}H${to.x - TURN}C${to.x} ${beneath} ${to.x - TURN} ${toY} ${to.x} ${toY}`;
  return `<path d="M${x} ${y}${way}" fill="none" stroke="${PAINT[to.kind].edge}" stroke-opacity="0.7" marker-end="url(#tip)"/>`;
}

function inWords(definition: Definition, cards: readonly Card[]): string {
  const questions = cards.filter(({ kind }) => kind === 'question');
  const parts = questions.map(({ title, rows }) => {
    const ways = rows.map(({ label, to }) => (to === null ? label : `${label} leads to ${to}`));
    return `${title}: ${ways.join('; ')}.`;
  });
  return `${definition.about} ${parts.join(' ')}`;
}

function escaped(text: string): string {
  return text.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;');
}
