import type { VNode } from 'preact';
import type { ClinicRow } from '../../../store/views/types.js';
import type { Ask } from '../../page.js';
import { Choice } from '../../parts/field.js';
import { COLUMNS, NEEDED, type ReadList } from './rows.js';

const EXAMPLE = [
  'child,born,feet,guardian,number,relation,language,consent_on,consent_by',
  'Nakato,2026-02-20,right,Sarah N.,+15550100142,mother,en,2026-03-01,Nurse Wema',
].join('\n');
/** Faults shown at once; the rest is counted, so that the page stays readable on a phone. */
const SHOWN = 500;

/** A list of families at once: checked first, then enrolled as a whole or not at all. */
export function ImportPage(props: {
  ask: Ask;
  clinics: readonly ClinicRow[];
  checked: ReadList | null;
}): VNode {
  const { ask, clinics, checked } = props;
  const { words, form } = ask;
  const isReady = checked !== null && checked.faults.length === 0;
  return (
    <>
      <h1>{words.say('import.title')}</h1>
      <p>{words.say('import.how')}</p>
      <p class="meta">
        {words.say('import.columns', {
          needed: NEEDED.join(', '),
          others: Object.keys(COLUMNS)
            .filter((name) => !NEEDED.includes(name))
            .join(', '),
        })}
      </p>
      <details>
        <summary>{words.say('import.example')}</summary>
        {/* biome-ignore lint/a11y/noNoninteractiveTabindex: it scrolls sideways on a phone, so a keyboard must get there */}
        <pre dir="ltr" tabIndex={0}>
          {EXAMPLE}
        </pre>
      </details>
      {checked === null ? null : <Checked ask={ask} checked={checked} />}
      <form method="post" action="/enrol/list">
        <input type="hidden" name="csrf" value={ask.csrf} />
        {clinics.length > 1 ? (
          <Choice
            name="clinic"
            label={words.say('enrol.clinic')}
            value={form.get('clinic')}
            options={clinics.map((clinic) => [clinic.id, clinic.name])}
          />
        ) : null}
        <p data-file hidden>
          <label for="file">{words.say('import.file')}</label>
          <input id="file" type="file" accept=".csv,.txt,text/csv" />
        </p>
        <label for="list">{words.say('import.list')}</label>
        <textarea id="list" name="list" rows={10} required dir="ltr" class="list">
          {form.get('list')}
        </textarea>
        <p class="acts">
          <button type="submit" name="do" value="check" class={isReady ? undefined : 'main'}>
            {words.say('import.check')}
          </button>
          {isReady ? (
            <button type="submit" name="do" value="enrol" class="main">
              {words.say('import.enrol', { count: checked.rows.length })}
            </button>
          ) : null}
        </p>
      </form>
    </>
  );
}

function Checked({ ask, checked }: { ask: Ask; checked: ReadList }): VNode {
  const { words } = ask;
  if (checked.faults.length === 0) {
    return (
      <p class="said" role="status">
        {words.say('import.ready', { count: checked.rows.length })}
      </p>
    );
  }
  const faults = checked.faults.toSorted((a, b) => a.line - b.line);
  return (
    <div class="said bad" role="alert">
      <strong>
        {words.say('import.faults', {
          faults: faults.length,
          rows: new Set(faults.map((one) => one.line)).size,
          good: checked.rows.filter((row) => !faults.some((one) => one.line === row.line)).length,
        })}
      </strong>
      <ul>
        {faults.slice(0, SHOWN).map(({ line, fault }) => {
          const sentence = words.say(fault.key, fault.values);
          return (
            <li key={`${line} ${sentence}`}>
              {line === 0 ? sentence : words.say('import.line', { line, fault: sentence })}
            </li>
          );
        })}
      </ul>
      {faults.length > SHOWN ? <p>{words.say('import.further', { count: faults.length - SHOWN })}</p> : null}
    </div>
  );
}
