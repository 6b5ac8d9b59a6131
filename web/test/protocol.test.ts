/** The app's client makes exactly the exchanges that the server's tests recorded (tests/log/README.md). */

import { readFileSync } from "node:fs";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import type { LogEvent } from "../src/shared/event";
import { withDatabase } from "../src/store/database";
import { held } from "../src/store/log";
import { readMeta, writeMeta } from "../src/store/meta";
import { unsentPhotos } from "../src/store/photos";
import { Syncer, type SyncState } from "../src/store/sync";
import { newStore } from "./store";

interface Mark {
  acknowledged: number;
  run: string;
  have: Record<string, number>;
  photos: string[];
  unsent_photos: string[];
}

interface Vector {
  name: string;
  batch: number;
  start: Mark;
  exchanges: {
    request: { method: string; path: string; type?: string; json?: unknown; sha256?: string };
    response: { status: number; json: unknown } | null;
  }[];
  end: Mark & { trouble: string | null; on_server: boolean };
}

interface File {
  device: string;
  own: LogEvent[];
  others: Record<string, LogEvent[]>;
  photos: { sha256: string; type: string; base64: string }[];
  vectors: Vector[];
}

const path = new URL("../../tests/log/protocol_vectors.json", import.meta.url);
const file = JSON.parse(readFileSync(path, "utf8")) as File;
const logs: Record<string, LogEvent[]> = { [file.device]: file.own, ...file.others };

beforeEach(newStore);
afterEach(() => {
  vi.unstubAllGlobals();
});

async function fill(start: Mark): Promise<void> {
  const { acknowledged, run } = start;
  await writeMeta("device", file.device);
  await writeMeta("sync", { acknowledged, run, answered: 0, skew: 0 });
  await withDatabase(async (database) => {
    for (const [device, count] of Object.entries(start.have)) {
      for (const event of (logs[device] ?? []).slice(0, count)) await database.put("events", event);
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

for (const vector of file.vectors) {
  test(vector.name, async () => {
    await fill(vector.start);
    const left = [...vector.exchanges];
    let answers = 0;
    vi.stubGlobal("fetch", async (address: string, init: RequestInit) => {
      const exchange = left.shift();
      if (exchange === undefined) throw new Error(`one request too many: ${address}`);
      const { request, response } = exchange;
      expect([init.method, address]).toEqual([request.method, request.path]);
      if (request.json !== undefined) expect(JSON.parse(init.body as string)).toEqual(request.json);
      if (request.sha256 !== undefined) expect(await digest(init.body)).toBe(request.sha256);
      if (response === null) throw new TypeError("no answer");
      answers += 1;
      return new Response(JSON.stringify(response.json), { status: response.status });
    });
    let state: SyncState | null = null;
    const syncer = new Syncer(
      (now) => {
        state = now;
        // with no answer yet, nothing is known to be on its way; and no more is sent than there is
        if (now.where === "sending") {
          expect(answers).toBeGreaterThan(0);
          expect(now.sent).toBeLessThanOrEqual(now.total);
        }
      },
      async () => undefined,
      () => 0,
      vector.batch,
    );
    await syncer.now();
    syncer.stop();
    const end = state as unknown as SyncState;
    const mark = await readMeta("sync");
    expect(left).toEqual([]);
    expect(end.trouble?.kind ?? null).toBe(vector.end.trouble);
    expect(end.where === "server").toBe(vector.end.on_server);
    expect(mark?.acknowledged).toBe(vector.end.acknowledged);
    expect(await held()).toEqual(vector.end.have);
    expect((await unsentPhotos()).map(({ sha256 }) => sha256)).toEqual(vector.end.unsent_photos);
  });
}
