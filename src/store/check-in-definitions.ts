import { at, type Store } from './store.js';

/** A check-in as it stood when a conversation began: whatever the clinic changes later, that one ends on its own text. */
export interface KeptDefinition {
  readonly checkIn: string;
  readonly version: string;
  readonly body: unknown;
}

/** Keeps today's definitions, so that a conversation can always be continued by the version it began with. */
export async function keepDefinitions(
  store: Store,
  definitions: readonly KeptDefinition[],
  now: number,
): Promise<void> {
  if (definitions.length === 0) return;
  await store.db
    .insertInto('check_in_definition')
    .values(
      definitions.map(({ checkIn, version, body }) => ({
        check_in: checkIn,
        version,
        body: JSON.stringify(body),
        first_used_at: at(now),
      })),
    )
    .onConflict((conflict) => conflict.doNothing())
    .execute();
}

/** The definitions of conversations that still wait for an answer. */
export async function definitionsInUse(store: Store): Promise<readonly KeptDefinition[]> {
  const rows = await store.db
    .selectFrom('check_in_definition as d')
    .select(['d.check_in', 'd.version', 'd.body'])
    .where((eb) =>
      eb.exists(
        eb
          .selectFrom('conversation as c')
          .select(eb.lit(1).as('one'))
          .whereRef('c.check_in', '=', 'd.check_in')
          .whereRef('c.version', '=', 'd.version')
          .where('c.state', '=', 'asking'),
      ),
    )
    .execute();
  return rows.map(({ check_in, version, body }) => ({ checkIn: check_in, version, body }));
}
