import type { VNode } from 'preact';
import type { SaidText } from '../../store/views/types.js';
import { Marked } from '../marked.js';
import type { Ask } from '../page.js';
import { moment } from '../times.js';
import { readAs } from './read-as.js';

/** Texts to and from a family as they happened: time, who, words, and what became of them. */
export function TextLog(props: { ask: Ask; said: readonly SaidText[]; zone: string }): VNode {
  const { words } = props.ask;
  if (props.said.length === 0) return <p class="quiet">{words.say('said.none')}</p>;
  return (
    <ol class="log">
      {props.said.map((text) => (
        <li key={text.id} class={text.direction}>
          <div class="meta">
            {moment(text.at, props.zone, words)} ·{' '}
            {text.direction === 'in'
              ? words.say('said.from', { who: text.who ?? words.say('relation.unknown') })
              : words.say('said.to', { who: text.who ?? words.say('relation.unknown') })}{' '}
            · {words.say(`${text.direction === 'in' ? 'text-in' : 'text-out'}.${text.state}`)}
          </div>
          {text.body.trim() === '' ? (
            <span class="quiet">{words.say('flag.empty-text')}</span>
          ) : (
            <Marked text={text.body} evidence={text.reading?.evidence ?? []} words={words} />
          )}
          <ReadAs text={text} ask={props.ask} />
        </li>
      ))}
    </ol>
  );
}

/** What the reader made of a family's text, in a line. */
function ReadAs({ text, ask }: { text: SaidText; ask: Ask }): VNode | null {
  const { words } = ask;
  const reading = text.reading;
  if (text.direction === 'out' || reading === null) return null;
  const found = readAs(reading, words);
  return (
    <div class="meta">{found === '' ? words.say('said.not-read') : words.say('said.read-as', { found })}</div>
  );
}
