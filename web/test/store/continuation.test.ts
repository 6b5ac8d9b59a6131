/** With its last act the old key signs what stays on its chain: from then on anybody may bring it. */

import { beforeEach, expect, test } from "vitest";
import type { LogEvent } from "../../src/shared/event";
import { beginChain } from "../../src/store/log/continuation";
import { ask } from "../judge";
import { newPhone, put, type Tab, visit } from "./store";
import * as second from "./writer";

let tab: Tab;
beforeEach(async () => {
  tab = await newPhone();
});

test("the event up to which a chain stays is signed by its own key, and the rest goes on", async () => {
  await tab.log.append([put("car/make", "Tarn")]);
  await tab.log.append([put("car/model", "Nine")]);
  const before = await tab.log.identity.get();
  const [stays] = (await tab.ownEvents()) as [LogEvent];
  const head = second.hashOf(stays);
  const continuing = { device: before.device, seq: 1, head, why: "forked" } as const;
  const visits = await beginChain(tab.log, ask, continuing, { device: before.device, after: 1 });
  expect(visits).toEqual([visit]);
  const [row] = await tab.log.chains.signatures(before.device, 0);
  expect([row?.device, row?.seq]).toEqual([before.device, 1]);
  const text = `bradawl-head-2\n${before.device}\n1\n${head}`;
  expect(second.isSignedBy(before.key, text, row?.signature as string)).toBe(true);
  expect(await tab.log.chains.row(before.device)).toEqual({
    ...{ device: before.device, key: before.key, seq: 1, head },
  });
  const now = await tab.ownEvents();
  expect(now.map((event) => event.put)).toEqual(["device/continues", "car/model"]);
});

test("nothing stays of a chain that goes on from its beginning, and nothing is signed", async () => {
  await tab.log.append([put("car/make", "Tarn")]);
  const { device } = await tab.log.identity.get();
  const continuing = { device, seq: 0, head: "", why: "lost" } as const;
  await beginChain(tab.log, ask, continuing, { device, after: 0 });
  expect(await tab.log.chains.signatures(device, 0)).toEqual([]);
  expect(await tab.log.chains.row(device)).toBeUndefined();
});
