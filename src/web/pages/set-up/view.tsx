import type { VNode } from 'preact';
import { WEEKDAYS } from '../../../core/time/calendar-days.js';
import type { ClinicRow } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import type { Fault } from '../../parts/fault.js';
import { Faults } from '../../parts/faults.js';
import { Choice, Field } from '../../parts/field.js';
import { day } from '../../times.js';
import type { Words } from '../../wording.js';
import type { Moved } from './moved-visits.js';

interface SetUpShown {
  readonly ask: Ask;
  readonly clinic: ClinicRow;
  readonly clinics: readonly ClinicRow[];
  readonly faults: readonly Fault[];
  readonly moved: Moved | null;
}

/** The clinic's days, hours, closures and protocol; what would change for whom is shown before it is saved. */
export function SetUpPage({ ask, clinic, clinics, faults, moved }: SetUpShown): VNode {
  const { words, form } = ask;
  const isPosted = form.fields.size > 0;
  const value = (name: string, stored: string) => (isPosted ? form.get(name) : stored);
  const days = isPosted ? form.all('days') : clinic.clinicDays;
  return (
    <>
      <h1>{words.say('set-up.title')}</h1>
      <nav aria-label={words.say('set-up.title')}>
        <a href="/set-up" aria-current="true">
          {words.say('set-up.hours')}
        </a>
        <a href="/set-up/staff">{words.say('set-up.staff')}</a>
      </nav>
      {clinics.length > 1 ? <Clinics clinics={clinics} clinic={clinic} words={words} /> : null}
      <Faults faults={faults} words={words} />
      {moved === null ? null : <WhatMoves moved={moved} words={words} />}
      <form method="post" action="/set-up">
        <input type="hidden" name="csrf" value={ask.csrf} />
        <input type="hidden" name="clinic" value={clinic.id} />
        <fieldset>
          <legend>
            {clinic.name}: {words.say('set-up.days')}
          </legend>
          <div class="pick">
            {WEEKDAYS.map((one) => (
              <label key={one}>
                <input type="checkbox" name="days" value={one} checked={days.includes(one)} />
                <span>{weekday(one, words)}</span>
              </label>
            ))}
          </div>
          <div class="two">
            <Field
              name="opens"
              label={words.say('set-up.opens')}
              type="time"
              value={value('opens', clinic.opens)}
            />
            <Field
              name="closes"
              label={words.say('set-up.closes')}
              type="time"
              value={value('closes', clinic.closes)}
            />
            <Field
              name="sending-from"
              label={words.say('set-up.sending-from')}
              type="time"
              value={value('sending-from', clinic.sendingFrom)}
            />
            <Field
              name="sending-to"
              label={words.say('set-up.sending-to')}
              type="time"
              value={value('sending-to', clinic.sendingTo)}
            />
            <Field
              name="call"
              label={words.say('set-up.call')}
              type="tel"
              value={value('call', clinic.callNumber)}
            />
            <Field
              name="emergency"
              label={words.say('set-up.emergency')}
              type="tel"
              value={value('emergency', clinic.emergencyNumber)}
            />
          </div>
          <label for="closures">{words.say('set-up.closures')}</label>
          <textarea id="closures" name="closures" rows={4} dir="ltr" class="list">
            {value('closures', clinic.closures.join('\n'))}
          </textarea>
        </fieldset>
        <fieldset>
          <legend>{words.say('set-up.protocol')}</legend>
          <Choice
            name="protocol"
            label={words.say('set-up.protocol-which')}
            value={value('protocol', clinic.protocol)}
            options={[...ask.deps.protocols.keys()].map((name) => [name, name])}
          />
          <label class="line">
            <input type="checkbox" name="for-all" value="yes" checked={form.get('for-all') === 'yes'} />{' '}
            {words.say('set-up.for-all')}
          </label>
          <p class="meta">{words.say('set-up.protocol-draft')}</p>
        </fieldset>
        <p class="acts">
          <button type="submit" name="do" value="check" class={moved === null ? 'main' : undefined}>
            {words.say('set-up.check')}
          </button>
          {moved === null ? null : (
            <button type="submit" name="do" value="save" class="main">
              {words.say('set-up.save')}
            </button>
          )}
        </p>
      </form>
    </>
  );
}

function Clinics(props: { clinics: readonly ClinicRow[]; clinic: ClinicRow; words: Words }): VNode {
  return (
    <form method="get" action="/set-up" class="acts">
      <Choice
        name="clinic"
        label={props.words.say('enrol.clinic')}
        value={props.clinic.id}
        options={props.clinics.map((one) => [one.id, one.name])}
      />
      <button type="submit">{props.words.say('page.language-choose')}</button>
    </form>
  );
}

const SHOWN = 100;

function WhatMoves({ moved, words }: { moved: Moved; words: Words }): VNode {
  return (
    <div class="said" role="status">
      <strong>{words.say('set-up.moves', { moved: moved.moved.length, children: moved.children })}</strong>
      <ul>
        {moved.moved.slice(0, SHOWN).map((one) => (
          <li key={one.childId}>
            <bdi>{one.name}</bdi>:{' '}
            {words.say('set-up.move', {
              before: one.before === null ? '–' : day(one.before, words),
              after: one.after === null ? '–' : day(one.after, words),
            })}
          </li>
        ))}
      </ul>
      {moved.isCut ? <p>{words.say('set-up.moves-cut')}</p> : null}
      <p>{words.say('set-up.not-saved')}</p>
    </div>
  );
}

/** The short name of a weekday in the language of the pages. 1 March 2027 is a Monday. */
function weekday(name: string, words: Words): string {
  const index = (WEEKDAYS as readonly string[]).indexOf(name);
  return new Intl.DateTimeFormat(words.locale, { weekday: 'short', timeZone: 'UTC' }).format(
    Date.UTC(2027, 2, 1 + index),
  );
}
