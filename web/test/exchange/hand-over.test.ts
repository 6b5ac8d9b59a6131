/**
 * What a phone hands over as a file: an archive that Python's zipfile reads (PKWARE APPNOTE), whose
 * pushes the real server takes, and after which a phone that is paired sends nothing of it again.
 */

import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { crc32 as nodeCrc32 } from "node:zlib";
import { afterAll, afterEach, beforeAll, expect, test, vi } from "vitest";
import { crc32 } from "../../src/app/screens/after/hand-over/archive";
import { fittingPhotos, pack } from "../../src/app/screens/after/hand-over/pack";
import { newId } from "../../src/store/encoding";
import { askPairing } from "../../src/store/exchange/server-api";
import { Syncer, type SyncState } from "../../src/store/exchange/sync";
import { createKey } from "../../src/store/keys";
import { ask } from "../judge";
import { closeTabs, newPhone, type Tab } from "../store/store";
import { Browser, RealServer } from "./real-server";

vi.setConfig({ testTimeout: 120_000 });

const root = fileURLToPath(new URL("../../..", import.meta.url));
const READ = `
import json, sys, zipfile
with zipfile.ZipFile(sys.argv[1]) as archive:
    assert archive.testzip() is None
    print(json.dumps({info.filename: [info.compress_type, archive.read(info).decode("latin1")]
                      for info in archive.infolist()}))
`;

let server: RealServer;
beforeAll(async () => {
  server = await RealServer.start();
}, 60_000);
afterAll(() => server.end());
afterEach(async () => {
  await closeTabs();
  vi.unstubAllGlobals();
});

/** The members of an archive by name, as Python reads them. */
async function membersOf(file: File): Promise<Record<string, string>> {
  const path = join(server.folder, file.name);
  writeFileSync(path, Buffer.from(await file.arrayBuffer()));
  const said = execFileSync(join(root, ".venv/bin/python"), ["-c", READ, path]);
  const read = JSON.parse(String(said)) as Record<string, [number, string]>;
  // stored, not packed
  expect(Object.values(read).filter(([how]) => how !== 0)).toEqual([]);
  return Object.fromEntries(Object.entries(read).map(([name, [, content]]) => [name, content]));
}

async function sync(tab: Tab, isAlone = false): Promise<SyncState> {
  let state: SyncState | null = null;
  const tell = (now: SyncState) => {
    state = now;
  };
  const listener = { tell, arrived: async () => undefined, begun: () => undefined };
  const options = { random: () => 0, isAlone };
  const syncer = new Syncer(tab.log, tab.photos, ask, listener, options);
  await syncer.now();
  syncer.stop();
  return state as unknown as SyncState;
}

test("the checksum is that of every other archive (zlib)", () => {
  for (const text of ["", "a", "bradawl".repeat(999)]) {
    expect(crc32(Buffer.from(text))).toBe(nodeCrc32(text));
  }
});

test("a file takes as many photos as fit, and at least one", () => {
  const photos = [5, 4, 3].map((size) => ({
    ...{ sha256: String(size), visit: "", size, type: "", stored: 0 },
  }));
  const sizes = (most: number) => fittingPhotos(photos, most).map(({ size }) => size);
  expect(sizes(9)).toEqual([5, 4]);
  expect(sizes(1)).toEqual([5]);
  expect(sizes(12)).toEqual([5, 4, 3]);
});

test("a phone without a server asks nobody, hands over, and once paired sends only what is new", async () => {
  const browser = new Browser(server);
  browser.use();
  const tab = await newPhone();
  const scope = `inspection/${newId()}`;
  const put = (path: string, value: number) => ({ scope, put: path, value });
  await tab.log.append([put("car/year", 1971), put("items/rust.sill/n", 1)]);
  const bytes = new TextEncoder().encode("a photo").buffer as ArrayBuffer;
  const kept = { bytes, type: "image/jpeg", thumb: null };
  const { sha256 } = await tab.photos.keep("v", kept);

  const alone = await sync(tab, true);
  expect([alone.where, alone.issues, alone.unsentEvents]).toEqual(["phone", [], 2]);
  expect(browser.asked).toEqual([]);

  const packed = await pack(tab.log, tab.photos, new Set(), () => undefined);
  expect([packed.entries, packed.photos, packed.left]).toEqual([2, [sha256], 0]);
  const members = await membersOf(packed.file);
  expect(members[`photos/${sha256}.jpeg`]).toBe("a photo");
  expect(JSON.parse(members["bradawl.json"] ?? "")).toEqual({
    format: "bradawl-hand-over",
    version: 1,
    device: await tab.device(),
    blobs: [[sha256, "image/jpeg"]],
  });
  // without the photo that the desk has
  const again = await pack(tab.log, tab.photos, new Set([sha256]), () => undefined);
  expect([again.entries, again.photos]).toEqual([2, []]);

  // whoever brings it: what counts is the phone's own signature
  const other = new Browser(server);
  other.use();
  await askPairing(await createKey(), "carrier");
  const brought = await other.fetch("/api/v1/sync/push", {
    method: "POST",
    body: members["batches/000001.json"] as string,
    headers: { "Content-Type": "application/json" },
  });
  expect(brought.status).toBe(200);

  browser.use();
  await tab.log.append([put("items/rust.sill/m", 2)]);
  await askPairing(await tab.log.identity.get(), "a phone");
  const pushed: { from_seq: number; events: unknown[] }[] = [];
  vi.stubGlobal("fetch", async (path: string, init: RequestInit) => {
    if (path.endsWith("/sync/push")) pushed.push(JSON.parse(String(init.body)));
    return browser.fetch(path, init);
  });
  // the photo did not come by file: it still goes
  const state = await sync(tab);
  expect(state.issues.filter(({ kind }) => kind !== "photo")).toEqual([]);
  expect(state.unsentEvents).toBe(0);
  expect(pushed.map(({ from_seq, events }) => [from_seq, events.length])).toEqual([[3, 1]]);
});
