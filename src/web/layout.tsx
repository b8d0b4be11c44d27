import type { ComponentChildren, VNode } from 'preact';
import { renderToString } from 'preact-render-to-string';
import type { Ask, Shown } from './page.js';
import { may, type Permission, type Role } from './roles.js';
import { STYLE } from './style.js';
import { moment } from './times.js';
import type { Words } from './wording.js';

interface MenuEntry {
  readonly key: string;
  readonly to: string;
  readonly needs: Permission;
}

const MENU: readonly MenuEntry[] = [
  { key: 'queue', to: '/queue', needs: 'see-flags' },
  { key: 'children', to: '/children', needs: 'see-children' },
  { key: 'enrol', to: '/enrol', needs: 'enrol' },
  { key: 'try', to: '/try', needs: 'see-flags' },
  { key: 'programme', to: '/programme', needs: 'see-programme' },
  { key: 'set-up', to: '/set-up', needs: 'set-up' },
];

interface Frame {
  readonly words: Words;
  readonly title: string;
  readonly children: ComponentChildren;
  readonly header?: VNode | null;
  readonly isWide?: boolean;
  readonly foot?: VNode | null;
}

function Html(props: Frame): VNode {
  return (
    <html lang={props.words.code} dir={props.words.direction}>
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width,initial-scale=1" />
        <title>{`${props.title} · toeline`}</title>
        <style dangerouslySetInnerHTML={{ __html: STYLE }} />
        <script src="/toeline.js" defer />
      </head>
      <body>
        <a class="skip" href="#main">
          {props.words.say('page.skip')}
        </a>
        {props.header}
        <main id="main" class={props.isWide === true ? 'wide' : undefined}>
          {props.children}
        </main>
        {props.foot}
      </body>
    </html>
  );
}

/** A page for a signed-in member of staff. */
export function staffPage(ask: Ask, shown: Shown, built: ReadonlySet<string>): string {
  const said = ask.query.get('said') ?? '';
  const saidKey = `said.${said}`;
  return page(
    <Html
      words={ask.words}
      title={shown.title}
      isWide={shown.isWide === true}
      header={<Top ask={ask} under={shown.under ?? ''} built={built} />}
      foot={<Foot ask={ask} />}
    >
      {/^[a-z-]+$/.test(said) && ask.words.has(saidKey) ? (
        <p class="said" role="status">
          {ask.words.say(saidKey)}
        </p>
      ) : null}
      {shown.body}
    </Html>,
  );
}

/** A page without menu: sign-in, errors. */
export function barePage(words: Words, title: string, body: ComponentChildren): string {
  return page(
    <Html words={words} title={title}>
      <p class="meta">toeline</p>
      <h1>{title}</h1>
      {typeof body === 'string' ? (
        <p>
          {body} <a href="/queue">{words.say('page.to-queue')}</a>
        </p>
      ) : (
        body
      )}
    </Html>,
  );
}

function page(root: VNode): string {
  return `<!doctype html>${renderToString(root)}`;
}

function Top({ ask, under, built }: { ask: Ask; under: string; built: ReadonlySet<string> }): VNode {
  const { words } = ask;
  const role = ask.staff.role as Role;
  return (
    <header class="top">
      <nav aria-label={words.say('page.menu')}>
        <a class="name" href="/">
          toeline
        </a>
        {MENU.filter((entry) => may(role, entry.needs) && built.has(entry.to)).map((entry) => (
          <a key={entry.key} href={entry.to} aria-current={entry.key === under ? 'page' : undefined}>
            {words.say(`menu.${entry.key}`)}
          </a>
        ))}
        {ask.deps.demo === undefined ? null : (
          <>
            <a href="/demo/phones" aria-current={under === 'phones' ? 'page' : undefined}>
              {words.say('menu.phones')}
            </a>
            <a href="/demo/clock" aria-current={under === 'clock' ? 'page' : undefined}>
              {words.say('menu.clock')}
            </a>
          </>
        )}
      </nav>
      {ask.deps.demo === undefined ? null : (
        <p class="meta">{words.say('demo.banner', { time: moment(ask.now, ask.zone, words) })}</p>
      )}
    </header>
  );
}

function Foot({ ask }: { ask: Ask }): VNode {
  const { words, csrf } = ask;
  const languages = [...ask.deps.languages.values()];
  return (
    <footer class="foot">
      {languages.length < 2 ? null : (
        <form method="post" action="/language" class="acts">
          <input type="hidden" name="csrf" value={csrf} />
          <input type="hidden" name="back" value={ask.path} />
          <label for="page-language">{words.say('page.language')}</label>
          <select id="page-language" name="language">
            {languages.map((one) => (
              <option key={one.code} value={one.code} selected={one.code === words.code} lang={one.code}>
                {one.name}
              </option>
            ))}
          </select>
          <button type="submit">{words.say('page.language-choose')}</button>
        </form>
      )}
      <form method="post" action="/sign-out" class="acts">
        <input type="hidden" name="csrf" value={csrf} />
        <span>{words.say('page.signed-in-as', { name: ask.staff.name })}</span>
        <button type="submit">{words.say('page.sign-out')}</button>
      </form>
      <p>{words.say('page.not-a-diagnosis')}</p>
      {words.isReviewed ? null : <p>{words.say('page.draft')}</p>}
    </footer>
  );
}
