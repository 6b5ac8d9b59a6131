/** The server's interface, as this phone speaks it. Every answer is a value, never a guess. */

import { type Batch, PROTOCOL } from "../../shared/event";
import { message, type Said, Told } from "../../shared/said";
import { type DeviceKey, pairText, sign } from "../keys";
import type { Boundaries, Have } from "../log/chains";

const TIME_LIMIT_MS = 20_000;
const UPLOAD_LIMIT_MS = 60_000;
/** What a slow network still carries in a second: less than that is taken for none at all. */
const SLOWEST_BYTES_PER_S = 16_384;

/** How long sending so much may take, ms: a limit for all would cut large pictures, every time. */
export function withUpload(limit_ms: number, size_bytes: number): number {
  return limit_ms + Math.ceil(size_bytes / SLOWEST_BYTES_PER_S) * 1_000;
}

/** The server did not answer at all. */
export class Unreachable extends Told {
  override name = "Unreachable";
}

/** The server answered with a refusal: in its own sentence, where it gave one. */
export class Refused extends Told {
  override name = "Refused";
  constructor(
    readonly status: number,
    readonly code: string,
    said: Said,
    readonly details: Record<string, unknown>,
  ) {
    super(said);
  }
}

async function answer(path: string, init: RequestInit, limit: number): Promise<Response> {
  let response: Response;
  try {
    response = await fetch(path, {
      credentials: "same-origin",
      cache: "no-store",
      ...init,
      signal: AbortSignal.timeout(limit),
    });
  } catch (problem) {
    throw new Unreachable(message("phone-error-unreachable"), { cause: problem });
  }
  if (response.ok) return response;
  let code = `http_${response.status}`;
  let said: Said = message("phone-error-answered", { status: String(response.status) });
  let details: Record<string, unknown> = {};
  try {
    const body = (await response.json()) as { error?: Record<string, unknown> };
    if (typeof body.error?.code === "string") code = body.error.code;
    if (typeof body.error?.message === "string") said = body.error.message;
    details = body.error ?? {};
  } catch {
    // a proxy's page instead of the server's own sentence: the status must do
    if (response.status >= 500) throw new Unreachable(message("phone-error-not-ready"));
  }
  throw new Refused(response.status, code, said, details);
}

async function compressed(text: string): Promise<Blob> {
  const stream = new Blob([text]).stream().pipeThrough(new CompressionStream("gzip"));
  return new Response(stream).blob();
}

/** POST JSON; the answer's time on the server's clock comes along when it says so. */
async function post<T>(path: string, body: unknown, gzip = false): Promise<T> {
  const text = JSON.stringify(body);
  const headers: Record<string, string> = { "Content-Type": "application/json" };
  let payload: string | Blob = text;
  if (gzip && text.length > 2_000 && typeof CompressionStream === "function") {
    headers["Content-Encoding"] = "gzip";
    payload = await compressed(text);
  }
  const limit = withUpload(TIME_LIMIT_MS, typeof payload === "string" ? text.length : payload.size);
  const response = await answer(path, { method: "POST", headers, body: payload }, limit);
  return (await response.json()) as T;
}

export interface Pushed {
  held: number;
  head: string;
  server_ms: number;
}

export function push(batch: Batch): Promise<Pushed> {
  return post("/api/v1/sync/push", batch, true);
}

/** Have the server keep another device's events that part from what it holds of that device. */
export async function bringAside(batch: Batch): Promise<void> {
  await post("/api/v1/sync/aside", batch, true);
}

export interface Pulled {
  batches: Batch[];
  more: boolean;
  held: Record<string, number>;
  /** Changes whenever the server is started. */
  run?: string;
  /** Devices of the server's own chains. */
  shop?: string[];
  /** Of these devices the server lacks what follows. */
  want?: Record<string, number>;
  /** Of these devices this phone's copy is another than the server's. */
  forked?: Record<string, Boundaries>;
  server_ms?: number;
}

export function pull(have: Have): Promise<Pulled> {
  return post("/api/v1/sync/pull", { protocol: PROTOCOL, have });
}

export async function missingPhotos(sha256: string[]): Promise<string[]> {
  return (await post<{ missing: string[] }>("/api/v1/blobs/missing", { sha256 })).missing;
}

export async function uploadPhoto(sha256: string, type: string, bytes: ArrayBuffer): Promise<void> {
  await answer(
    `/api/v1/blobs/${sha256}`,
    { method: "PUT", headers: { "Content-Type": type }, body: bytes },
    withUpload(UPLOAD_LIMIT_MS, bytes.byteLength),
  );
}

export interface OfflineNames {
  protocol: number;
  judge: string;
  checklists: string;
  /** Of a checklist that has them: a shop's own copy may be older than these tables. */
  complaints?: string;
  app: string;
}

export async function me(): Promise<{ device: string; name: string; person: string }> {
  return (await answer("/api/v1/me", {}, TIME_LIMIT_MS)).json();
}

/** What the server says of its certificate authority; what it means is for `readAnswer`. */
export async function trustNow(): Promise<unknown> {
  return (await answer("/api/v1/trust", {}, TIME_LIMIT_MS)).json();
}

export type PairingAnswer =
  | { state: "approved" }
  | { state: "waiting"; code: string; words: string; secret: string; seconds_left: number };

/** Ask to be paired under the own key, whose signature proves that the id is this phone's. */
export async function askPairing(own: DeviceKey, name: string): Promise<PairingAnswer> {
  const { device, key } = own;
  return post("/api/v1/pairing", { device, name, key, proof: await sign(own, pairText(device)) });
}

export async function pollPairing(
  secret: string,
): Promise<"waiting" | "approved" | "refused" | "expired"> {
  return (
    await post<{ state: "waiting" | "approved" | "refused" | "expired" }>("/api/v1/pairing/poll", {
      secret,
    })
  ).state;
}
