/** Photos on their way: what a server's refusal means for one, and for those that follow it. */

import { afterEach, beforeEach, expect, test, vi } from "vitest";

import { Syncer, type SyncState } from "../../src/store/exchange/sync";
import { ask } from "../judge";
import { newPhone, type Tab, visit } from "./store";

let tab: Tab;
/** Statuses with which the server answers uploads, by their order; 204 when none is left. */
let statuses: number[] = [];
let uploads = 0;

beforeEach(async () => {
  tab = await newPhone();
  statuses = [];
  uploads = 0;
  vi.stubGlobal("fetch", answer);
});
afterEach(() => vi.unstubAllGlobals());

const json = (body: unknown, status = 200) => new Response(JSON.stringify(body), { status });

async function answer(path: string, init: RequestInit): Promise<Response> {
  if (path === "/api/v1/me") return json({ device: await tab.device(), name: "", person: "" });
  if (path === "/api/v1/sync/pull") return json({ batches: [], more: false, held: {} });
  if (path === "/api/v1/blobs/missing") {
    const { sha256 } = JSON.parse(String(init.body)) as { sha256: string[] };
    return json({ missing: sha256 });
  }
  uploads += 1;
  const status = statuses.shift() ?? 204;
  if (status === 204) return new Response(null, { status });
  return json({ error: { code: "refused", message: `Answered ${status}.` } }, status);
}

async function keepPhoto(text: string): Promise<void> {
  const bytes = new TextEncoder().encode(text).buffer as ArrayBuffer;
  const size = { width: 1, height: 1, taken: null, place: null, thumb: null };
  await tab.photos.keep(visit, { bytes, type: "image/jpeg", ...size });
}

async function sync(): Promise<SyncState> {
  let state: SyncState | null = null;
  const listener = {
    tell: (now: SyncState) => {
      state = now;
    },
    arrived: async () => undefined,
    begun: () => undefined,
  };
  const syncer = new Syncer(tab.log, tab.photos, ask, listener, { random: () => 0 });
  await syncer.now();
  syncer.stop();
  return state as unknown as SyncState;
}

// RFC 9110: 413 and 415 are about the content, 422 about what it says: the same bytes fail again
test.each([413, 415, 422])("a picture answered with %i is not sent again by itself", async (n) => {
  await keepPhoto("refused");
  await keepPhoto("taken");
  statuses = [n];
  const state = await sync();
  expect(state.issues.map(({ kind, said }) => [kind, said])).toEqual([["photo", `Answered ${n}.`]]);
  expect([state.unsentPhotos, state.refusedPhotos]).toEqual([1, 1]);
  await sync();
  expect(uploads).toBe(2);
});

// any other status is about the server or this phone, and may pass: the picture is not to blame
test.each([401, 403, 404, 409, 429, 500, 503, 507])(
  "a picture answered with %i is not remembered as refused, and goes later",
  async (status) => {
    await keepPhoto("waiting");
    statuses = [status];
    const state = await sync();
    expect(state.issues).toHaveLength(1);
    expect(state.issues[0]?.kind).not.toBe("photo");
    expect((await tab.photos.unsent()).map(({ refused }) => refused)).toEqual([undefined]);
    expect((await sync()).where).toBe("server");
    expect(uploads).toBe(2);
  },
);
