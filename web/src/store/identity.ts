/** Who this phone is: its device key, made at the first start, the same in every tab. */

import { quietly, type Store } from "./database";
import type { Own } from "./facts";
import { createKey } from "./keys";
import type { Database } from "./schema";

export class Identity {
  /** Asked for with every tap: read once per connection, since a wiped storage comes with a new one. */
  private readonly owns = new WeakMap<Database, Own>();

  constructor(private readonly store: Store) {}

  get(): Promise<Own> {
    return this.store.run(async (open) => this.owns.get(open) ?? this.refresh());
  }

  /** Read it anew: another tab may have begun a new chain. */
  async refresh(): Promise<Own> {
    return this.store.run(async (open) => {
      const own = ((await open.get("meta", "own")) as Own | undefined) ?? (await this.make());
      this.owns.set(open, own);
      return own;
    });
  }

  private async make(): Promise<Own> {
    // before the transaction: that one would not wait for it
    const made: Own = { ...(await createKey()), origin: null };
    return this.store.transact(["meta"], async (tx) => {
      const meta = tx.objectStore("meta");
      const there = (await meta.get("own")) as Own | undefined;
      if (there !== undefined) return there;
      quietly(meta.put(made, "own"));
      quietly(meta.put({ device: made.device, seq: 0 }, "settled"));
      return made;
    });
  }
}
