/** What the shop ordered erased is gone from every place at once, before anything is folded anew. */

import { beforeEach, expect, test } from "vitest";
import type { LogEvent, Orders } from "../../src/shared/event";
import type { Ask } from "../../src/shared/judge-messages";
import { applyOrders } from "../../src/store/log/orders";
import { receive } from "../../src/store/log/receiving";
import { newPhone, put, type Tab, visit } from "../store/store";
import { Writer } from "../store/writer";

const SELLER = "about/seller";
let tab: Tab;

beforeEach(async () => {
  tab = await newPhone();
});

/** A shop that orders this event erased; the judge is asked for nothing else. */
async function order(event: LogEvent): Promise<string[]> {
  const shop = new Writer(5_000, "shop");
  shop.put(`erase/${event.device}/${event.seq}`, true, [], "shop");
  await receive(tab.log, shop.batch());
  await tab.log.facts.write("shop", [shop.device]);
  const { device, seq, commit } = event;
  const orders: Orders = { clock: {}, fence: {}, erase: [{ device, seq, put: event.put, commit }] };
  const ask = (async () => ({ orders })) as unknown as Ask;
  return applyOrders(tab.log, ask);
}

test("an erased value is shown nowhere while its group waits for the judge", async () => {
  await tab.log.append([put(SELLER, "A. Seller"), put("car/make", "Tarn")]);
  await tab.log.rows.settle();
  expect((await tab.log.rows.cellsOf(visit))[SELLER]?.value).toBe("A. Seller");
  await tab.store.run((database) =>
    database.put("assessments", {
      visit,
      bundle: "",
      today: "",
      assessment: { brief: { text: "Of A. Seller", conflicts: [] } } as never,
    }),
  );
  const [event] = await tab.ownEvents();
  expect(await order(event as LogEvent)).toEqual([visit]);
  // nobody has folded yet
  const cells = await tab.log.rows.cellsOf(visit);
  expect(cells[SELLER]).toBeUndefined();
  expect(cells["car/make"]?.value).toBe("Tarn");
  const [erased] = await tab.ownEvents();
  expect([erased?.value, erased?.salt]).toEqual([undefined, undefined]);
  expect(await tab.store.run((database) => database.get("assessments", visit))).toBeUndefined();
  // it will be folded: its path is marked
  const dirty = await tab.store.run((database) => database.getAll("dirty"));
  expect(dirty.map(({ group }) => group)).toContain(SELLER);
});
