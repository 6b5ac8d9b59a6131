/** A browser that takes the storage away while something is read. */

import { afterEach, expect, test, vi } from "vitest";
import { closeTabs, newPhone } from "./store";

afterEach(async () => {
  vi.restoreAllMocks();
  await closeTabs();
});

test.each(["one request", "a transaction"])(
  "%s that is cut off fails for whoever asked, and for nobody else",
  async (how) => {
    const tab = await newPhone();
    await tab.store.run((database) => database.get("meta", "marker"));
    const unheard: unknown[] = [];
    const hear = (problem: unknown) => unheard.push(problem);
    const others = process.listeners("unhandledRejection");
    process.removeAllListeners("unhandledRejection");
    process.on("unhandledRejection", hear);
    try {
      // as when the connection is closed by the browser (W3C IndexedDB, "forced flag"; from memory)
      const get = IDBObjectStore.prototype.get;
      vi.spyOn(IDBObjectStore.prototype, "get").mockImplementation(function (
        this: IDBObjectStore,
        key,
      ) {
        const request = get.call(this, key);
        this.transaction.abort();
        return request;
      });
      const asked = tab.store.run((database) =>
        how === "a transaction"
          ? database.transaction("meta").store.get("marker")
          : database.get("meta", "marker"),
      );
      await expect(asked).rejects.toThrow();
      await new Promise((resolve) => setTimeout(resolve));
      expect(unheard).toEqual([]);
    } finally {
      process.off("unhandledRejection", hear);
      for (const other of others) process.on("unhandledRejection", other as () => void);
    }
  },
);
