import type { VNode } from 'preact';
import type { ClinicRow, LikelyDuplicate } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import type { Fault } from '../../parts/fault.js';
import { Faults } from '../../parts/faults.js';
import { Choice, Field } from '../../parts/field.js';
import { day } from '../../times.js';
import { FAMILY_LANGUAGES, RELATIONS } from './fields.js';

interface EnrolShown {
  readonly ask: Ask;
  readonly clinics: readonly ClinicRow[];
  readonly faults: readonly Fault[];
  readonly duplicates: readonly LikelyDuplicate[];
}

/** Enrolling a child: one short form. What is not marked as optional is needed. */
export function EnrolPage({ ask, clinics, faults, duplicates }: EnrolShown): VNode {
  const { words, form } = ask;
  const value = (name: string) => form.get(name);
  return (
    <>
      <h1>{words.say('enrol.title')}</h1>
      <p>
        <a href="/enrol/list">{words.say('enrol.many')}</a>
      </p>
      <Faults faults={faults} words={words} />
      <form method="post" action="/enrol">
        <input type="hidden" name="csrf" value={ask.csrf} />
        <Duplicates ask={ask} duplicates={duplicates} />
        {clinics.length > 1 ? (
          <Choice
            name="clinic"
            label={words.say('enrol.clinic')}
            value={value('clinic')}
            options={clinics.map((clinic) => [clinic.id, clinic.name])}
          />
        ) : null}
        <fieldset>
          <legend>{words.say('enrol.child')}</legend>
          <div class="two">
            <Field name="given" label={words.say('enrol.given')} value={value('given')} isRequired />
            <Field name="family" label={words.say('enrol.family')} value={value('family')} />
            <Field name="called" label={words.say('enrol.called')} value={value('called')} />
            <Field name="born" label={words.say('enrol.born')} value={value('born')} type="date" isRequired />
          </div>
          <fieldset class="pick">
            <legend>{words.say('enrol.feet')}</legend>
            {(['left', 'right'] as const).map((foot) => (
              <label key={foot}>
                <input type="checkbox" name="feet" value={foot} checked={form.all('feet').includes(foot)} />
                <span>{words.say(`feet.${foot}`)}</span>
              </label>
            ))}
          </fieldset>
          <div class="two">
            <Field
              name="first-cast"
              label={words.say('enrol.first-cast')}
              value={value('first-cast')}
              type="date"
            />
            <Field
              name="weeks-early"
              label={words.say('enrol.weeks-early')}
              value={value('weeks-early')}
              inputMode="numeric"
            />
            <Field
              name="travel"
              label={words.say('enrol.travel')}
              value={value('travel')}
              inputMode="decimal"
            />
          </div>
        </fieldset>
        <GuardianFields ask={ask} prefix="g1" clinic={clinics[0]} />
        <details open={value('g2.name') !== ''}>
          <summary>{words.say('enrol.second')}</summary>
          <GuardianFields ask={ask} prefix="g2" clinic={clinics[0]} />
        </details>
        <fieldset>
          <legend>{words.say('enrol.consent')}</legend>
          <blockquote>{words.say('enrol.consent-text')}</blockquote>
          <label class="line">
            <input type="checkbox" name="consent" value="yes" checked={value('consent') === 'yes'} required />{' '}
            {words.say('enrol.consent-given', { name: ask.staff.name })}
          </label>
          <label class="line">
            <input
              type="checkbox"
              name="test-text"
              value="yes"
              checked={form.fields.size === 0 || value('test-text') === 'yes'}
            />{' '}
            {words.say('enrol.test-text')}
          </label>
        </fieldset>
        <p class="acts">
          <button class="main" type="submit">
            {words.say('enrol.save')}
          </button>
        </p>
      </form>
    </>
  );
}

function Duplicates({ ask, duplicates }: { ask: Ask; duplicates: readonly LikelyDuplicate[] }): VNode | null {
  if (duplicates.length === 0) return null;
  const { words } = ask;
  return (
    <div class="said bad" role="alert">
      <strong>{words.say('enrol.duplicates')}</strong>
      <ul>
        {duplicates.map((child) => (
          <li key={child.id}>
            <a href={`/children/${child.id}`}>{child.name}</a>,{' '}
            {words.say('hand-over.born', { day: day(child.born, words) })}
            {child.hasNumber ? `, ${words.say('enrol.same-phone')}` : ''}
          </li>
        ))}
      </ul>
      <label class="line">
        <input type="checkbox" name="another" value="yes" /> {words.say('enrol.another')}
      </label>
    </div>
  );
}

function GuardianFields(props: { ask: Ask; prefix: 'g1' | 'g2'; clinic: ClinicRow | undefined }): VNode {
  const { ask, prefix, clinic } = props;
  const { words, form } = ask;
  const value = (name: string) => form.get(`${prefix}.${name}`);
  const names = new Intl.DisplayNames([words.locale], { type: 'language' });
  return (
    <fieldset>
      <legend>{words.say(prefix === 'g1' ? 'enrol.guardian' : 'enrol.second')}</legend>
      <div class="two">
        <Field
          name={`${prefix}.name`}
          label={words.say('enrol.name')}
          value={value('name')}
          isRequired={prefix === 'g1'}
        />
        <Choice
          name={`${prefix}.relation`}
          label={words.say('enrol.relation')}
          value={value('relation') || 'mother'}
          options={RELATIONS.map((one) => [one, words.say(`relation.${one}`)])}
        />
        <Field
          name={`${prefix}.number`}
          label={words.say('enrol.number')}
          value={value('number')}
          type="tel"
          isRequired={prefix === 'g1'}
        />
        <Choice
          name={`${prefix}.language`}
          label={words.say('enrol.language')}
          value={value('language') || (clinic?.language ?? 'en')}
          options={FAMILY_LANGUAGES.map((code) => [code, names.of(code) ?? code])}
        />
        <Choice
          name={`${prefix}.reads`}
          label={words.say('enrol.reads')}
          value={value('reads') || 'yes'}
          options={[
            ['yes', words.say('enrol.reads-yes')],
            ['no', words.say('enrol.reads-no')],
          ]}
        />
        <Field name={`${prefix}.hour`} label={words.say('enrol.hour')} value={value('hour')} type="time" />
      </div>
    </fieldset>
  );
}
