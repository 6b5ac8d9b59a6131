/**
 * Another phone: protocol 2 written once more, with Node's own crypto and nothing of the app's code.
 */

import {
  createHash,
  createPublicKey,
  generateKeyPairSync,
  type KeyObject,
  randomBytes,
  sign,
  verify,
} from "node:crypto";
import type { Json, LogEvent } from "../../src/shared/event";
import { scope as visitScope } from "./store";

/** RFC 8785 of what has ASCII keys and no fractions. */
export function canonical(value: Json): string {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  const keys = Object.keys(value).sort();
  return `{${keys.map((key) => `${JSON.stringify(key)}:${canonical(value[key] as Json)}`).join(",")}}`;
}

export function sha256Hex(data: string | Buffer): string {
  return createHash("sha256").update(data).digest("hex");
}

export function hashOf(event: LogEvent): string {
  const { at, commit, device, over, prev, put, scope, seq } = event;
  return sha256Hex(canonical({ at, commit, device, over, prev, put, scope, seq }));
}

export function commitOf(salt: string, text: string): string {
  const hash = createHash("sha256").update(Buffer.from(salt, "base64url")).update(text);
  return hash.digest("base64url");
}

export function idOf({ at, commit }: Pick<LogEvent, "at" | "commit">): string {
  return `${at}~${commit}`;
}

/** The raw point behind a public key, base64url. */
function pointOf(key: KeyObject): string {
  const { x, y } = key.export({ format: "jwk" });
  const parts = [
    Buffer.of(4),
    Buffer.from(x as string, "base64url"),
    Buffer.from(y as string, "base64url"),
  ];
  return Buffer.concat(parts).toString("base64url");
}

export function deviceOf(point: string): string {
  return sha256Hex(Buffer.from(point, "base64url")).slice(0, 32);
}

/** Whether a signature over `text` is that of the key with this point. */
export function isSignedBy(point: string, text: string, signature: string): boolean {
  const raw = Buffer.from(point, "base64url");
  const [x, y] = [raw.subarray(1, 33), raw.subarray(33)].map((part) => part.toString("base64url"));
  const key = createPublicKey({
    key: { kty: "EC", crv: "P-256", x: x as string, y: y as string },
    format: "jwk",
  });
  const how = { key, dsaEncoding: "ieee-p1363" as const };
  return verify("sha256", Buffer.from(text), how, Buffer.from(signature, "base64url"));
}

export class Writer {
  private readonly pair = generateKeyPairSync("ec", { namedCurve: "P-256" });
  readonly key = pointOf(this.pair.publicKey);
  readonly device = deviceOf(this.key);
  events: LogEvent[] = [];

  constructor(
    public ms = 5_000,
    private readonly scope = visitScope,
  ) {}

  /** The same device with a copy of its chain so far, as a profile that was put back. */
  copy(): Writer {
    const other: Writer = Object.create(Writer.prototype);
    return Object.assign(other, this, { events: [...this.events] });
  }

  put(path: string, value: Json, over: string[] = [], scope = this.scope): LogEvent {
    const seq = this.events.length + 1;
    const before = this.events.at(-1);
    const salt = randomBytes(16).toString("base64url");
    const text = canonical(value);
    const event: LogEvent = {
      device: this.device,
      seq,
      prev: before === undefined ? "" : hashOf(before),
      at: `${String(this.ms).padStart(15, "0")}-00000-${this.device}`,
      scope,
      put: path,
      commit: commitOf(salt, text),
      over: [...over].sort(),
      value: text,
      salt,
    };
    this.ms += 1;
    this.events.push(event);
    return event;
  }

  sign(text: string): string {
    const how = { key: this.pair.privateKey, dsaEncoding: "ieee-p1363" as const };
    return sign("sha256", Buffer.from(text), how).toString("base64url");
  }

  /** Consecutive events as they travel. */
  batch(from = 1, to = this.events.length) {
    const events = this.events.slice(from - 1, to);
    const last = events.at(-1) as LogEvent;
    const head = hashOf(last);
    return {
      protocol: 2,
      device: this.device,
      key: this.key,
      from_seq: from,
      prev: (events[0] as LogEvent).prev,
      events: events.map(({ at, over, put, scope, salt, value, commit }) =>
        salt === undefined || value === undefined
          ? { at, over, put, scope, commit }
          : { at, over, put, scope, salt, value },
      ),
      head,
      signature: this.sign(`bradawl-head-2\n${this.device}\n${last.seq}\n${head}`),
    };
  }
}

/** A batch's events with everything that follows from it. */
export function eventsOf(batch: ReturnType<Writer["batch"]>): LogEvent[] {
  let prev = batch.prev;
  return batch.events.map((sent, index) => {
    const event = { ...sent, device: batch.device, seq: batch.from_seq + index, prev } as LogEvent;
    if (event.salt !== undefined) event.commit = commitOf(event.salt, event.value as string);
    prev = hashOf(event);
    return event;
  });
}

function digestOf(text: string): string {
  return createHash("sha256").update(text).digest("base64url");
}

/** The kinds of the paths that the tests write (server/bradawl/judge/record/entry_kinds.py). */
const KINDS: [RegExp, string][] = [
  [/^seal\//, "seal"],
  [/^items\/[^/]+\/grade/, "grade"],
  [/^items\/[^/]+\/choice/, "choice"],
  [/^items\/[^/]+\/readings/, "reading"],
  [/^items\/[^/]+\/photos/, "photo"],
  [/^items\/[^/]+\/(why|text|note)/, "note"],
  [/^media/, "photo"],
  [/^about\/(seller|inspector|place)/, "name"],
  [/^about\/(app|bundle|dark|depth|distance_home|motorway|region|started|voice|wet)/, "fact"],
  [/^notes\//, "note"],
  [/^car\//, "fact"],
];

function kindOf(path: string): string {
  return KINDS.find(([pattern]) => pattern.test(path))?.[1] ?? "plan";
}

/** SHA-256 of the sorted leaves of events: of each that stands at its path. */
export function leavesHash(events: LogEvent[]): string {
  const leaves: string[] = [];
  for (const path of new Set(events.map((event) => event.put))) {
    const there = events.filter((event) => event.put === path);
    const named = new Set(there.flatMap((event) => event.over));
    const live = there.filter((event) => !named.has(idOf(event)));
    for (const { at, commit } of live) {
      leaves.push(digestOf(canonical([kindOf(path), digestOf(canonical([path, at, commit]))])));
    }
  }
  return sha256Hex(canonical(leaves.sort()));
}
