/** How long a request may take: a large picture on a slow network longer than a small one. */

import { afterEach, expect, test, vi } from "vitest";
import { trustNow, uploadPhoto } from "../../src/store/exchange/server-api";

afterEach(() => vi.restoreAllMocks());

/** The time limit that a request was sent with, ms. */
async function limitOf(request: () => Promise<unknown>): Promise<number> {
  const limit = vi.spyOn(AbortSignal, "timeout");
  vi.spyOn(globalThis, "fetch").mockImplementation(async () => Response.json({}));
  await request();
  expect(limit).toHaveBeenCalledTimes(1);
  return limit.mock.calls[0]?.[0] as number;
}

test.each([
  [0, 60_000],
  [1, 61_000],
  [16_384, 61_000],
  // at 16 kB a second these take 1,526 s
  [25_000_000, 60_000 + 1_526_000],
])("a photo of %i bytes has %i ms", async (size_bytes, limit_ms) => {
  const bytes = new ArrayBuffer(size_bytes);
  expect(await limitOf(() => uploadPhoto("a".repeat(64), "image/jpeg", bytes))).toBe(limit_ms);
});

test("a question without a body keeps its 20 seconds", async () => {
  expect(await limitOf(trustNow)).toBe(20_000);
});
