import type { VNode } from 'preact';
import type { PhoneOwner } from '../../../store/views/types.js';
import type { DemoPhone, DemoText } from '../../deps.js';
import type { Ask } from '../../page.js';
import { phaseWords } from '../../parts/child-words.js';
import { localDate, moment } from '../../times.js';

/** What a family might write; English, since a visitor must know what it says. */
const EXAMPLES = [
  'toes are blue and cold',
  'All fine, toes pink',
  'She wore it 20 hours',
  'cast is loose',
  'call me please',
];

/** Every invented family's phone, those with texts first. */
export function PhonesPage(props: {
  ask: Ask;
  phones: readonly DemoPhone[];
  owners: readonly PhoneOwner[];
  find: string;
}): VNode {
  const { ask, owners } = props;
  const { words } = ask;
  const byNumber = new Map(props.phones.map((phone) => [phone.number, phone]));
  const rows = [...owners].sort((a, b) => lastAt(byNumber.get(b.number)) - lastAt(byNumber.get(a.number)));
  return (
    <>
      <h1>{words.say('demo.phones')}</h1>
      <p>{words.say('demo.phones-how')}</p>
      <form method="get" action="/demo/phones" class="acts">
        <label for="find" class="hide">
          {words.say('demo.find')}
        </label>
        <input id="find" name="find" value={props.find} placeholder={words.say('demo.find')} />
        <button type="submit">{words.say('demo.search')}</button>
      </form>
      <ul class="log">
        {rows.map((owner) => (
          <li key={owner.number}>
            <a class="who" href={`/demo/phones/${encodeURIComponent(owner.number)}`}>
              {owner.name}
            </a>{' '}
            <Owner owner={owner} ask={ask} />
            <LastText phone={byNumber.get(owner.number)} ask={ask} />
          </li>
        ))}
      </ul>
    </>
  );
}

const lastAt = (phone: DemoPhone | undefined) =>
  phone === undefined || phone.last === null ? 0 : Date.parse(phone.last.at);

function Owner({ owner, ask }: { owner: PhoneOwner; ask: Ask }): VNode {
  const today = localDate(ask.now, ask.zone);
  return (
    <span class="meta">
      <bdi>{owner.number}</bdi> · {owner.language} ·{' '}
      {owner.children.map((child) => `${child.name}: ${phaseWords(child, today, ask.words)}`).join(' · ')}
    </span>
  );
}

function LastText({ phone, ask }: { phone: DemoPhone | undefined; ask: Ask }): VNode | null {
  if (phone === undefined || phone.last === null) return null;
  return (
    <div class="quiet">
      <span class="meta">
        {moment(Date.parse(phone.last.at), ask.zone, ask.words)} ·{' '}
        {ask.words.say('demo.texts', { count: phone.texts })}
      </span>{' '}
      <bdi>{phone.last.body}</bdi>
    </div>
  );
}

/** One phone: its texts in order, and a line to write from it. */
export function PhonePage(props: {
  ask: Ask;
  number: string;
  texts: readonly DemoText[];
  owners: readonly PhoneOwner[];
  fault: string;
}): VNode {
  const { ask, number, texts } = props;
  const { words } = ask;
  return (
    <>
      <h1>
        {props.owners[0]?.name ?? ''} <bdi class="meta">{number}</bdi>
      </h1>
      {props.owners.map((owner) => (
        <p key={owner.number}>
          <Owner owner={owner} ask={ask} />
        </p>
      ))}
      {props.fault === '' ? null : (
        <p class="said bad" role="alert">
          {words.say(props.fault)}
        </p>
      )}
      {texts.length === 0 ? (
        <p class="quiet">{words.say('demo.phone-none')}</p>
      ) : (
        <ol class="log">
          {texts.map((text, i) => (
            <li key={i}>
              <div class="meta">
                {moment(Date.parse(text.at), ask.zone, words)} ·{' '}
                {words.say(text.direction === 'to-family' ? 'demo.got' : 'demo.wrote')}
              </div>
              <span class="words" dir="auto">
                {text.body}
              </span>
            </li>
          ))}
        </ol>
      )}
      <Write ask={ask} number={number} />
    </>
  );
}

function Write({ ask, number }: { ask: Ask; number: string }): VNode {
  const { words } = ask;
  const action = `/demo/phones/${encodeURIComponent(number)}`;
  return (
    <>
      <form method="post" action={action}>
        <input type="hidden" name="csrf" value={ask.csrf} />
        <label for="body">{words.say('demo.write')}</label>
        <textarea id="body" name="body" rows={2} required dir="auto" />
        <p class="acts">
          <button class="main" type="submit">
            {words.say('demo.send')}
          </button>
          <a class="btn" href={action}>
            {words.say('demo.reload')}
          </a>
          <a href="/demo/phones">{words.say('demo.all-phones')}</a>
        </p>
      </form>
      <p class="meta">{words.say('demo.try-these')}</p>
      <form method="post" action={action} class="acts">
        <input type="hidden" name="csrf" value={ask.csrf} />
        {EXAMPLES.map((example) => (
          <button key={example} type="submit" name="body" value={example}>
            {example}
          </button>
        ))}
      </form>
    </>
  );
}
