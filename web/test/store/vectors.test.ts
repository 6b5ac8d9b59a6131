/** The app's events are those of `tests/log/format/event_vectors.json`, which a second writing made. */

import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import type {
  Batch,
  Cells,
  Json,
  JudgedEvent,
  Live,
  LogEvent,
  Orders,
} from "../../src/shared/event";
import { sha256OfText } from "../../src/store/encoding";
import { deviceOf, sealText, verifies } from "../../src/store/keys";
import {
  BatchRefused,
  hashedText,
  hashOf,
  idOf,
  isNeverErased,
  judged,
  readBatch,
  sentForm,
} from "../../src/store/log/events";
import { leavesHash } from "../../src/store/log/seals";
import { commitTo, isValueText, shownOf, textOf } from "../../src/store/log/values";
import { ask } from "../judge";

interface Vectors {
  value_texts: { name: string; value: Json; text: string; shown: Json }[];
  refused_texts: { name: string; text: string }[];
  commitments: { salt: string; text: string; commit: string }[];
  chains: {
    name: string;
    events: LogEvent[];
    canonical: string[];
    hashes: string[];
    ids: string[];
    batches: Batch[];
  }[];
  refused_batches: { name: string; batch: Batch }[];
  devices: { key: string; device: string }[];
  refused_keys: { name: string; key: string }[];
  signatures: { name: string; valid: boolean; key: string; text: string; signature: string }[];
  seals: {
    name: string;
    device: string;
    scope: string;
    seal: { [key: string]: Json } & { key: string; signature: string };
    unsigned_text: string;
    signed_text: string;
  }[];
  folds: {
    name: string;
    events: (Omit<JudgedEvent, "scope"> & { scope?: string })[];
    orders: Orders | null;
    cells: Cells;
    live: Live;
    leaves: string[];
    leaves_hash: string;
  }[];
  erasable: { path: string; may: boolean }[];
}

const path = new URL("../../../tests/log/format/event_vectors.json", import.meta.url);
const vectors = JSON.parse(readFileSync(path, "utf8")) as Vectors;

describe("values", () => {
  test.each(vectors.value_texts)("$name", ({ value, text, shown }) => {
    expect(textOf(value)).toBe(text);
    expect(isValueText(text)).toBe(true);
    expect(shownOf(text)).toEqual(shown);
  });

  test.each(vectors.refused_texts)("refused: $name", ({ text }) => {
    expect(isValueText(text)).toBe(false);
  });

  test.each(vectors.commitments)("the commitment to $text", async ({ salt, text, commit }) => {
    expect(await commitTo(salt, text)).toBe(commit);
  });

  test.each(vectors.erasable)("whether $path may come erased", ({ path: put, may }) => {
    // stricter than the rule would keep a phone from what a later server may rightly erase
    if (may) expect(isNeverErased(put)).toBe(false);
    if (/grade|readings|^(seal|clock|device)/.test(put)) expect(isNeverErased(put)).toBe(true);
  });
});

describe.each(vectors.chains)("chain: $name", ({ events, canonical, hashes, ids, batches }) => {
  test("texts, hashes and ids", async () => {
    for (const [index, event] of events.entries()) {
      expect(hashedText(event)).toBe(canonical[index]);
      expect(await hashOf(event)).toBe(hashes[index]);
      expect(idOf(event)).toBe(ids[index]);
    }
  });

  test.each(batches.map((batch) => [batch] as const))("batch %#", async (batch) => {
    const checked = await readBatch(batch);
    const there = events.slice(batch.from_seq - 1, batch.from_seq - 1 + batch.events.length);
    expect(checked.events).toEqual(there);
    expect(checked.events.map(sentForm)).toEqual(batch.events);
  });
});

test.each(vectors.refused_batches)("refused batch: $name", async ({ batch }) => {
  await expect(readBatch(batch)).rejects.toThrow(BatchRefused);
});

describe("keys", () => {
  test.each(vectors.devices)("the id $device", async ({ key, device }) => {
    expect(await deviceOf(key)).toBe(device);
  });

  test.each(vectors.refused_keys)("refused: $name", async ({ key }) => {
    expect(await deviceOf(key)).toBeNull();
  });

  test.each(vectors.signatures)("signature: $name", async ({ key, text, signature, valid }) => {
    expect(await verifies(key, text, signature)).toBe(valid);
  });
});

test.each(vectors.seals)("$name", async ({ device, scope, seal, unsigned_text, signed_text }) => {
  const { signature, ...unsigned } = seal;
  expect(textOf(unsigned)).toBe(unsigned_text);
  const text = sealText(device, scope, await sha256OfText(unsigned_text));
  expect(text).toBe(signed_text);
  expect(await verifies(seal.key, text, signature)).toBe(true);
});

test.each(vectors.folds)("fold: $name", async ({ events, orders, cells, live, leaves_hash }) => {
  const given = events as JudgedEvent[];
  const question = { ask: "fold", events: given } as const;
  const folded = await ask(orders === null ? question : { ...question, orders });
  expect(folded).toEqual({ cells, live });
  // what a seal covers, by the app's own road
  const written = given.map((event) => ({ ...event, prev: "", scope: "", value: "null" }));
  expect(await leavesHash(written as unknown as LogEvent[], ask)).toBe(leaves_hash);
  expect(judged).toBeDefined();
});
