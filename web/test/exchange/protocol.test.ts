/** The app's client makes exactly the exchanges that the server's tests recorded (tests/log/README.md). */

import { readFileSync } from "node:fs";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import type { LogEvent } from "../../src/shared/event";
import { Syncer, type SyncState } from "../../src/store/exchange/sync";
import type { SyncIssueKind } from "../../src/store/exchange/sync-issues";
import { NOTHING_ANSWERED } from "../../src/store/facts";
import { AHEAD_MS, stampTime } from "../../src/store/log/clock";
import { ask } from "../judge";
import { newPhone, type Tab } from "../store/store";
import * as second from "../store/writer";

interface Mark {
  device: string;
  acknowledged: number;
  run: string;
  shop: string[];
  have: Record<string, number>;
  heads: Record<string, string>;
  /** Up to which event each other device has signed what is held of it. */
  signed: Record<string, number>;
  seen: string;
  photos: string[];
  unsent_photos: string[];
}

interface Sent {
  protocol?: number;
  device?: string;
  key?: string;
  signature?: string;
  head?: string;
  from_seq?: number;
  events?: unknown[];
}

interface Vector {
  name: string;
  batch: number;
  start: Mark;
  exchanges: {
    request: { method: string; path: string; type?: string; json?: Sent; sha256?: string };
    response: { status: number; json: unknown } | null;
  }[];
  end: Mark & { trouble: string | null; on_server: boolean };
}

interface KeyPair {
  device: string;
  key: string;
  pkcs8: string;
}

interface File {
  device: string;
  key: KeyPair;
  next: KeyPair & { salt: string };
  clock_ms: number;
  own: LogEvent[];
  others: Record<string, LogEvent[]>;
  keys: Record<string, string>;
  signatures: Record<string, string[]>;
  photos: { sha256: string; type: string; base64: string }[];
  vectors: Vector[];
}

const path = new URL("../../../tests/log/sync/protocol_vectors.json", import.meta.url);
const file = JSON.parse(readFileSync(path, "utf8")) as File;
const logs: Record<string, LogEvent[]> = { [file.device]: file.own, ...file.others };

/** The vectors know three of the issues by name. */
const NAMES: Partial<Record<SyncIssueKind, string>> = {
  unreachable: "unreachable",
  pair: "pair",
  app_too_old: "app_too_old",
};

let tab: Tab;

beforeEach(async () => {
  tab = await newPhone();
  vi.spyOn(Date, "now").mockReturnValue(file.clock_ms);
});
afterEach(() => {
  vi.restoreAllMocks();
  vi.unstubAllGlobals();
});

const CURVE = { name: "ECDSA", namedCurve: "P-256" };

async function keyOf({ device, key, pkcs8 }: KeyPair) {
  const bytes = Buffer.from(pkcs8, "base64url");
  const pair = await crypto.subtle.importKey("pkcs8", bytes, CURVE, false, ["sign"]);
  return { device, key, private: pair };
}

/** The next key that the phone makes is the one that the vectors were made with. */
async function expectNextKey(): Promise<void> {
  const { private: privateKey } = await keyOf(file.next);
  const point = Buffer.from(file.next.key, "base64url");
  const publicKey = await crypto.subtle.importKey("raw", point, CURVE, true, ["verify"]);
  vi.spyOn(crypto.subtle, "generateKey").mockResolvedValue({ privateKey, publicKey } as never);
  const salt = Buffer.from(file.next.salt, "base64url");
  vi.spyOn(crypto, "getRandomValues").mockImplementation((array) => {
    (array as unknown as Uint8Array).set(salt);
    return array;
  });
}

async function fill(start: Mark): Promise<void> {
  const { acknowledged, run, shop, seen } = start;
  const own = { ...(await keyOf(file.key)), origin: "new" };
  const settled = { device: own.device, seq: start.have[own.device] ?? 0 };
  await tab.store.run(async (database) => {
    await database.put("meta", own, "own");
    await database.put("meta", settled, "settled");
    await database.put("meta", { ...NOTHING_ANSWERED, acknowledged, run }, "sync");
    await database.put("meta", shop, "shop");
    await database.put("meta", seen, "seen");
    for (const [device, seq] of Object.entries(start.have)) {
      for (const event of (logs[device] ?? []).slice(0, seq)) await database.put("events", event);
      const end = start.signed[device] ?? seq;
      const signature = file.signatures[device]?.[end - 1] as string;
      await database.put("signatures", { device, seq: end, signature });
      if (device === own.device) continue;
      const [key, head] = [file.keys[device] as string, start.heads[device] as string];
      await database.put("chains", { device, key, seq, head });
    }
    for (const [index, name] of start.photos.entries()) {
      const photo = file.photos.find(({ sha256 }) => sha256 === name);
      if (photo === undefined) throw new Error(`the vectors lack photo ${name}`);
      const bytes = Uint8Array.from(Buffer.from(photo.base64, "base64")).buffer;
      const visit = "a1".repeat(16);
      await database.put("photos", { sha256: name, visit, type: photo.type, bytes });
      await database.put("cards", {
        sha256: name,
        visit,
        size: bytes.byteLength,
        type: photo.type,
        thumb: null,
        held: start.unsent_photos.includes(name) ? 0 : 1,
        stored: index,
      });
    }
  });
}

async function digest(body: unknown): Promise<string> {
  const bytes = await new Response(body as BodyInit).arrayBuffer();
  return Buffer.from(await crypto.subtle.digest("SHA-256", bytes)).toString("hex");
}

async function textOf(body: unknown): Promise<string> {
  if (typeof body === "string") return body;
  const stream = (body as Blob).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Response(stream).text();
}

/** Signatures are random here: an own one must verify, all else be the same. */
function sameAs(asked: Sent, wanted: Sent): void {
  const { signature, ...rest } = asked;
  const { signature: recorded, ...others } = wanted;
  expect(rest).toEqual(others);
  if (signature === recorded) return;
  const { device, key, head, from_seq, events } = asked as Required<Sent>;
  expect([file.device, file.next.device]).toContain(device);
  const text = `bradawl-head-2\n${device}\n${from_seq + events.length - 1}\n${head}`;
  expect(second.isSignedBy(key, text, signature as string)).toBe(true);
}

for (const vector of file.vectors) {
  test(vector.name, async () => {
    await fill(vector.start);
    await expectNextKey();
    const left = [...vector.exchanges];
    let answers = 0;
    vi.stubGlobal("fetch", async (address: string, init: RequestInit) => {
      const exchange = left.shift();
      if (exchange === undefined) throw new Error(`one request too many: ${address}`);
      const { request, response } = exchange;
      expect([init.method, address]).toEqual([request.method, request.path]);
      if (request.json !== undefined) {
        sameAs(JSON.parse(await textOf(init.body)), request.json);
      }
      if (request.sha256 !== undefined) expect(await digest(init.body)).toBe(request.sha256);
      if (response === null) throw new TypeError("no answer");
      answers += 1;
      return new Response(JSON.stringify(response.json), { status: response.status });
    });
    let state: SyncState | null = null;
    const listener = {
      // with no answer yet, nothing is known to be on its way; and no more is sent than there is
      tell: (now: SyncState) => {
        state = now;
        if (now.where === "sending") {
          expect(answers).toBeGreaterThan(0);
          expect(now.sent).toBeLessThanOrEqual(now.total);
        }
      },
      arrived: async () => undefined,
      begun: () => undefined,
    };
    const options = { random: () => 0, batch: vector.batch };
    const syncer = new Syncer(tab.log, tab.photos, ask, listener, options);
    await syncer.now();
    syncer.stop();
    const end = state as unknown as SyncState;
    const { wanted, found } = await compared(vector.end);
    expect(left).toEqual([]);
    const [trouble] = end.issues;
    expect(
      trouble === undefined ? null : (NAMES[trouble.kind] ?? "refused"),
      String(trouble?.said),
    ).toBe(vector.end.trouble);
    expect(end.where === "server").toBe(vector.end.on_server);
    expect(found).toEqual(wanted);
  });
}

/** What the phone holds in the end, beside what the vector says of it. */
async function compared({ trouble: _t, on_server: _o, photos: _p, ...wanted }: Vector["end"]) {
  const { device } = await tab.log.identity.get();
  const mark = await tab.log.facts.sync();
  const have = await tab.log.chains.tops();
  const heads: Record<string, string> = {};
  for (const [one, seq] of Object.entries(have)) {
    heads[one] = (await tab.log.chains.hashAt(one, seq)) as string;
  }
  const signed: Record<string, number> = {};
  for (const row of await tab.store.run((database) => database.getAll("signatures"))) {
    if (row.device !== device) signed[row.device] = Math.max(signed[row.device] ?? 0, row.seq);
  }
  const others = (await tab.log.facts.read("seen")) ?? "";
  const last = (await tab.log.chains.last(device))?.at ?? "";
  const isBelieved = last !== "" && stampTime(last) <= file.clock_ms + mark.skew + AHEAD_MS;
  const found = {
    device,
    acknowledged: mark.acknowledged,
    run: mark.run,
    shop: (await tab.log.facts.read("shop")) ?? [],
    have,
    heads,
    signed,
    // a vector counts own stamps among those seen
    seen: [others, isBelieved ? last : ""].sort().at(-1),
    unsent_photos: (await tab.photos.unsent()).map(({ sha256 }) => sha256),
  };
  return { wanted, found };
}
