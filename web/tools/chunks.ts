/** Which modules a start needs, and which come when somebody looks at what they show. */

interface Imported {
  isEntry: boolean;
  importers: readonly string[];
}

const known = new Map<string, boolean>();

/** Whether a module is reached from the page's entry by static imports alone. */
export function isOfStart(
  id: string,
  infoOf: (id: string) => Imported | null,
  above: ReadonlySet<string> = new Set(),
): boolean {
  const before = known.get(id);
  if (before !== undefined) return before;
  if (above.has(id)) return false;
  const info = infoOf(id);
  if (info === null) return false;
  const within = new Set([...above, id]);
  const found = info.isEntry || info.importers.some((one) => isOfStart(one, infoOf, within));
  // what a circle hid is not known yet
  if (found || above.size === 0) known.set(id, found);
  return found;
}
