import type { VNode } from 'preact';
import type { Words } from '../wording.js';
import type { Fault } from './fault.js';

/** Every fault of a form at once, told before the form is shown again with what was typed. */
export function Faults({ faults, words }: { faults: readonly Fault[]; words: Words }): VNode | null {
  if (faults.length === 0) return null;
  return (
    <div class="said bad" role="alert">
      <strong>{words.say('page.faults')}</strong>
      <ul>
        {faults.map((fault) => {
          const sentence = words.say(fault.key, fault.values);
          return <li key={sentence}>{sentence}</li>;
        })}
      </ul>
    </div>
  );
}
