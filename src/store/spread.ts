/**
 * A fixed share (0 up to 1) for a name, so that texts of one hour are spread over minutes and each keeps its minute
 * however often it is planned. FNV-1a (Fowler, Noll, Vo), 32 bits.
 */
export function shareOf(name: string): number {
  let hash = 0x811c9dc5;
  for (let index = 0; index < name.length; index += 1) {
    hash = Math.imul(hash ^ name.charCodeAt(index), 0x01000193);
  }
  // The low bits of names that differ only at their end are mixed worst.
  hash ^= hash >>> 15;
  hash = Math.imul(hash, 0x2c1b3c6d);
  return ((hash ^ (hash >>> 12)) >>> 0) / 2 ** 32;
}
