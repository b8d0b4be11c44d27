import type { VNode } from 'preact';
import { segments } from '../../../core/texts/segments.js';
import type { FlagPageRow } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import { token } from '../../sessions.js';
import type { Words } from '../../wording.js';

/** How many parts a text is billed as, and in which alphabet, in words. */
export function partsWords(body: string, words: Words): string {
  if (body === '') return words.say('reply.parts-none');
  const cut = segments(body);
  const key = cut.encoding === 'ucs-2' ? 'reply.parts-wide' : 'reply.parts';
  return words.say(key, { parts: cut.parts.length, characters: [...body].length });
}

/** Answering by text. Counting works by a button without JavaScript, and as it is typed with it. */
export function ReplyForm({ ask, flag }: { ask: Ask; flag: FlagPageRow }): VNode | null {
  const { words, form } = ask;
  if (flag.number === null) return null;
  const body = form.get('body');
  return (
    <details open={body !== ''}>
      <summary>{words.say('reply.title')}</summary>
      <form method="post" action={`/flags/${flag.id}/reply`} data-parts="/parts">
        <input type="hidden" name="csrf" value={ask.csrf} />
        <input type="hidden" name="form" value={form.get('form') || token()} />
        <p class="meta">
          {words.say('reply.how', {
            language: languageName(flag.guardianLanguage, words),
          })}
        </p>
        <label for="reply-body">{words.say('reply.body')}</label>
        <textarea id="reply-body" name="body" rows={3} maxLength={800} required dir="auto">
          {body}
        </textarea>
        <p class="meta" data-count aria-live="polite">
          {partsWords(body, words)}
        </p>
        <p class="acts">
          <button class="main" type="submit" name="do" value="send">
            {words.say('reply.send')}
          </button>
          <button type="submit" name="do" value="count" formnovalidate>
            {words.say('reply.count')}
          </button>
        </p>
      </form>
    </details>
  );
}

function languageName(code: string | null, words: Words): string {
  if (code === null) return words.say('relation.unknown');
  return new Intl.DisplayNames([words.locale], { type: 'language' }).of(code) ?? code;
}
