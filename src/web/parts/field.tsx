import type { VNode } from 'preact';

interface FieldShown {
  readonly name: string;
  readonly label: string;
  readonly value: string;
  readonly type?: 'text' | 'date' | 'tel' | 'time' | 'search';
  readonly inputMode?: 'numeric' | 'decimal';
  readonly isRequired?: boolean;
}

/** One line of a form with its label. */
export function Field({ name, label, value, type, inputMode, isRequired }: FieldShown): VNode {
  // Spread, because the types of JSX want one literal type for each element.
  const kind: Record<string, string> = { type: type ?? 'text' };
  return (
    <div class="field">
      <label for={name}>{label}</label>
      <input
        id={name}
        name={name}
        {...kind}
        value={value}
        inputMode={inputMode}
        required={isRequired === true}
        autocomplete="off"
        dir={type === 'tel' ? 'ltr' : undefined}
      />
    </div>
  );
}

interface ChoiceShown {
  readonly name: string;
  readonly label: string;
  readonly value: string;
  readonly options: readonly (readonly [value: string, label: string])[];
}

/** One of a short list. */
export function Choice({ name, label, value, options }: ChoiceShown): VNode {
  return (
    <div class="field">
      <label for={name}>{label}</label>
      <select id={name} name={name}>
        {options.map(([one, text]) => (
          <option key={one} value={one} selected={one === value}>
            {text}
          </option>
        ))}
      </select>
    </div>
  );
}
