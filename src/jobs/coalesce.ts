/**
 * Gathers single calls into batches: what comes while a batch is being worked on waits for the next one. One
 * statement for fifty texts costs the database little more than one for one text; nobody waits for a timer.
 * Each caller gets its own item's result; a batch that fails fails for every item in it.
 */
export function coalesce<Item, Result>(
  work: (items: readonly Item[]) => Promise<readonly Result[]>,
  options: { readonly most?: number; readonly atOnce?: number } = {},
): (item: Item) => Promise<Result> {
  const most = options.most ?? 200;
  const atOnce = options.atOnce ?? 2;
  interface Waiting {
    readonly item: Item;
    readonly resolve: (result: Result) => void;
    readonly reject: (error: unknown) => void;
  }
  const waiting: Waiting[] = [];
  let running = 0;

  const settle = (batch: readonly Waiting[], results: readonly Result[]): void => {
    if (results.length !== batch.length) throw new Error('A batch must give one result per item.');
    // The check above makes the result present; `Result` itself may be undefined.
    for (const [index, { resolve }] of batch.entries()) resolve(results[index] as Result);
  };

  const next = (): void => {
    if (running >= atOnce || waiting.length === 0) return;
    running += 1;
    const batch = waiting.splice(0, most);
    work(batch.map(({ item }) => item))
      .then((results) => settle(batch, results))
      .catch((error: unknown) => {
        for (const { reject } of batch) reject(error);
      })
      .finally(() => {
        running -= 1;
        next();
      });
  };

  return (item) =>
    new Promise((resolve, reject) => {
      waiting.push({ item, resolve, reject });
      // Calls made in the same turn go together.
      setImmediate(next);
    });
}
