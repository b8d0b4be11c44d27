import type { VNode } from 'preact';
import { ASKED, READING_PHASES } from '../../../core/model/signs.js';
import { Marked } from '../../marked.js';
import type { Ask } from '../../page.js';
import { Choice } from '../../parts/field.js';
import { UrgencyTag } from '../../parts/flag-entry.js';
import { readAs } from '../../parts/read-as.js';
import { FAMILY_LANGUAGES } from '../enrol/fields.js';
import type { Tried } from './trial.js';

/** Trying a text: what would be read in it and what would follow, without anything happening. */
export function TryPage({ ask, tried }: { ask: Ask; tried: Tried | null }): VNode {
  const { words, form } = ask;
  const names = new Intl.DisplayNames([words.locale], { type: 'language' });
  return (
    <>
      <h1>{words.say('try.title')}</h1>
      <p>{words.say('try.how')}</p>
      <form method="post" action="/try">
        <input type="hidden" name="csrf" value={ask.csrf} />
        <label for="text">{words.say('try.text')}</label>
        <textarea id="text" name="text" rows={3} maxLength={2000} required dir="auto">
          {form.get('text')}
        </textarea>
        <div class="two">
          <Choice
            name="language"
            label={words.say('enrol.language')}
            value={form.get('language') || 'en'}
            options={FAMILY_LANGUAGES.map((code) => [code, names.of(code) ?? code])}
          />
          <Choice
            name="phase"
            label={words.say('child.phase')}
            value={form.get('phase') || 'cast'}
            options={READING_PHASES.map((phase) => [phase, words.say(`phase.${phase}`)])}
          />
          <Choice
            name="asked"
            label={words.say('try.asked')}
            value={form.get('asked') || 'open'}
            options={ASKED.map((asked) => [asked, words.say(`asked.${asked}`)])}
          />
        </div>
        <p class="acts">
          <button class="main" type="submit">
            {words.say('try.press')}
          </button>
        </p>
      </form>
      {tried === null ? null : <Result ask={ask} tried={tried} />}
    </>
  );
}

function Result({ ask, tried }: { ask: Ask; tried: Tried }): VNode {
  const { words } = ask;
  const { reading, effects } = tried;
  const flags = effects.flatMap((effect) => (effect.type === 'raise-flag' ? [effect.flag] : []));
  const others = effects.filter((effect) => effect.type !== 'raise-flag' && effect.type !== 'text');
  const found = readAs(reading, words);
  return (
    <section aria-live="polite">
      <h2>{words.say('try.read')}</h2>
      <blockquote>
        <Marked text={tried.text} evidence={reading.evidence} words={words} />
      </blockquote>
      <p>{found === '' ? words.say('said.not-read') : words.say('said.read-as', { found })}</p>
      <p class="meta">
        {words.say('try.understood', {
          share: Math.round(reading.understood * 100),
          language: reading.language,
        })}{' '}
        {reading.unread.length === 0
          ? null
          : words.say('try.unread', {
              words: reading.unread.map((span) => tried.text.slice(span.start, span.end)).join(' · '),
            })}
      </p>
      <h2>{words.say('try.follows')}</h2>
      {flags.length === 0 ? <p>{words.say('try.no-flag')}</p> : null}
      {flags.map((flag) => (
        <div class="entry" key={flag.matter + flag.rule}>
          <div class="side">
            <UrgencyTag urgency={flag.urgency} words={words} />
          </div>
          <div>
            <strong>{words.say(`matter.${flag.matter}`)}</strong>
            <p>
              {flag.reason} <span class="meta">{words.say('flag.why-rule', { rule: flag.rule })}</span>
            </p>
            <p class="do">{flag.nextStep}</p>
          </div>
        </div>
      ))}
      {tried.texts.map((text) => (
        <p key={text}>
          {words.say('try.text-out')} <q dir="auto">{text}</q>
        </p>
      ))}
      {others.map((effect) => (
        <p key={effect.type}>{words.say(`follows.${effect.type}`)}</p>
      ))}
      <p class="meta">{words.say('queue.draft-rules')}</p>
    </section>
  );
}
