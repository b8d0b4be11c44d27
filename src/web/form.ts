/** The fields of a posted form; a field left out reads as an empty string, ends are trimmed. */
export interface Form {
  get(name: string): string;
  all(name: string): readonly string[];
  /** Every field as it was typed, to show a refused form again. */
  readonly fields: URLSearchParams;
}

export function readForm(body: string): Form {
  const fields = new URLSearchParams(body);
  return {
    fields,
    get: (name) => (fields.get(name) ?? '').trim(),
    all: (name) => fields.getAll(name).map((value) => value.trim()),
  };
}

const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}$/;

/** True for an id as we make them; anything else in an address is simply a page that does not exist. */
export function isId(value: string): boolean {
  return UUID.test(value);
}
