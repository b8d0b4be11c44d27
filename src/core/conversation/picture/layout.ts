import type { Answer, Definition, Silence } from '../definition.js';

/** One line of a card: what is answered (or not), and the card it leads to. */
export interface Row {
  readonly label: string;
  readonly detail: string;
  readonly to: string | null;
}

export interface Card {
  readonly id: string;
  readonly kind: 'question' | 'well' | 'noted' | 'person';
  readonly title: string;
  /** The text of the question or end, broken into lines. */
  readonly lines: readonly string[];
  readonly rows: readonly Row[];
  readonly x: number;
  readonly y: number;
  readonly height: number;
}

export interface Layout {
  readonly cards: readonly Card[];
  readonly width: number;
  readonly height: number;
}

export const CARD_WIDTH = 330;
const GAP_X = 130;
const GAP_Y = 28;
const MARGIN = 32;
export const LINE = 16;
export const ROW = 20;
export const TITLE = 26;
const LETTERS_A_LINE = 46;

/** Places the cards of a check-in from left to right: each question as far right as its longest way there. Pure. */
export function layOut(definition: Definition, language: string): Layout {
  const layers = layersOf(definition);
  const next = new Map<number, number>();
  const cards = [...layers].map(([id, layer]) => {
    const card = cardOf(definition, id, language);
    const y = next.get(layer) ?? MARGIN;
    next.set(layer, y + card.height + GAP_Y);
    return { ...card, x: MARGIN + layer * (CARD_WIDTH + GAP_X), y };
  });
  const width = Math.max(...cards.map(({ x }) => x + CARD_WIDTH)) + MARGIN;
  const height = Math.max(...cards.map(({ y, height: tall }) => y + tall)) + MARGIN;
  return { cards, width, height };
}

/** How many answers lie between the beginning and each card, on the longest way; ends stand in the last layer. */
function layersOf(definition: Definition): Map<string, number> {
  const depth = new Map<string, number>();
  const visit = (name: string, layer: number): void => {
    if ((depth.get(name) ?? -1) >= layer) return;
    depth.set(name, layer);
    for (const { next } of Object.values(definition.questions[name]?.answers ?? {})) {
      if (next in definition.questions) visit(next, layer + 1);
    }
  };
  for (const first of definition.begin) visit(first, 0);
  const last = Math.max(...depth.values()) + 1;
  for (const end of Object.keys(definition.ends)) depth.set(endId(end), last);
  return depth;
}

function endId(name: string): string {
  return `end ${name}`;
}

function cardOf(definition: Definition, id: string, language: string): Omit<Card, 'x' | 'y'> {
  const question = definition.questions[id];
  if (question) {
    const lines = broken(wordsOf(definition, question.text, language));
    const rows = [
      ...Object.entries(question.answers).map(([name, answer]) => answerRow(definition, name, answer)),
      { label: 'not understood', detail: 'asked again in other words, then a person', to: null },
      silenceRow(question.silence ?? definition.silence[0]),
    ];
    return { id, kind: 'question', title: id, lines, rows, height: heightOf(lines.length, rows.length) };
  }
  const name = id.replace(/^end /, '');
  const end = definition.ends[name];
  const lines = end?.text ? broken(wordsOf(definition, end.text, language)) : [];
  const kind = end?.outcome ?? 'noted';
  return {
    id,
    kind,
    title: `${name} (${END_WORDS[kind]})`,
    lines,
    rows: [],
    height: heightOf(lines.length, 0),
  };
}

const END_WORDS = { well: 'all well', noted: 'noted', person: 'a person looks' } as const;

function answerRow(definition: Definition, name: string, answer: Answer): Row {
  const said = [
    answer.digit === null ? null : String(answer.digit),
    answer.says,
    answer.hours === null ? null : 'hours',
  ].filter((one) => one !== null);
  const raised = [...answer.means, ...(answer.raises === null ? [] : [answer.raises])];
  const signs = raised.length > 0 ? raised : answer.signs;
  const to = answer.next in definition.questions ? answer.next : endId(answer.next);
  return {
    label: said.length === 0 ? `in words: ${name}` : `${said.join(' or ')}: ${name}`,
    detail: signs.join(', '),
    to,
  };
}

function silenceRow(silence: Silence | undefined): Row {
  if (!silence) return { label: 'silence', detail: '', to: null };
  const again = silence.again === null ? '' : `repeated after ${inWords(silence.again)}, `;
  const person = silence.raises === null ? 'ends' : 'a person';
  return { label: 'silence', detail: `${again}${person} after ${inWords(silence.person)}`, to: null };
}

function inWords(minutes: number): string {
  if (minutes % 1440 === 0) return `${minutes / 1440} d`;
  return minutes % 60 === 0 ? `${minutes / 60} h` : `${minutes} min`;
}

function wordsOf(definition: Definition, key: string, language: string): string {
  const byLanguage = definition.wordings[key] ?? {};
  return byLanguage[language] ?? byLanguage.en ?? key;
}

function broken(text: string): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/u)) {
    const longer = line === '' ? word : `${line} ${word}`;
    if (line !== '' && longer.length > LETTERS_A_LINE) {
      lines.push(line);
      line = word;
    } else line = longer;
  }
  return line === '' ? lines : [...lines, line];
}

function heightOf(lines: number, rows: number): number {
  return TITLE + lines * LINE + 10 + rows * ROW + 6;
}
