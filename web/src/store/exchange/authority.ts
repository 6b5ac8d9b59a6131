/**
 * The certificate authority that this phone trusts, as the server tells of it: which one comes next
 * and which ones were before. From that, and from what the person said, follows what to tell.
 */

import type { Facts } from "../facts";
import { Refused } from "./server-api";

/** An authority: its name as the phone's settings show it, SHA-256 as 64 lower-case hex digits. */
export interface Named {
  name: string;
  sha256: string;
}

/** The answer of `GET /api/v1/trust` where the server has an authority of its own; days in UTC. */
export interface AuthorityAnswer {
  authority: Named;
  next: (Named & { takes_over: string }) | null;
  former: (Named & { until: string })[];
  /** Where a phone is led through trusting it: an address in plain http. */
  first_page: string;
}

/** What this phone keeps of it. Every list holds SHA-256. */
export interface AuthorityKept {
  answer: AuthorityAnswer | null;
  /** Authorities over which the server has answered this phone. */
  met: string[];
  /** The next authority for which the person opened the first page. */
  opened: string | null;
  /** The next authority that this phone trusts: the first page showed it, and the person said so. */
  trusted: string | null;
  /** Former authorities that the person has removed from the phone's settings. */
  removed: string[];
}

export const NOTHING_HEARD: AuthorityKept = {
  answer: null,
  met: [],
  opened: null,
  trusted: null,
  removed: [],
};

export type AuthorityNote =
  | { kind: "next"; name: string; sha256: string; day: string; opened: boolean }
  /** It was to take over on `day`, and no answer has come since. */
  | { kind: "due"; name: string; sha256: string; day: string }
  | { kind: "former"; name: string; sha256: string; day: string };

const DAY_MS = 24 * 3_600_000;
/** A phone that never met a former authority is told of it for so long, as the terminal is. */
const REMINDED_MS = 60 * DAY_MS;

const dayOf = (ms: number) => new Date(ms).toISOString().slice(0, 10);

type Fields = Record<string, unknown>;
const DAY = /^\d{4}-\d\d-\d\d$/;

function isNamed(json: unknown, day: string | null): boolean {
  if (typeof json !== "object" || json === null) return false;
  const { name, sha256, [day ?? ""]: date } = json as Fields;
  return (
    typeof name === "string" &&
    typeof sha256 === "string" &&
    /^[0-9a-f]{64}$/.test(sha256) &&
    (day === null || (typeof date === "string" && DAY.test(date)))
  );
}

/** The server's answer; null where it has no authority of its own, or it is no such answer. */
export function readAnswer(json: unknown): AuthorityAnswer | null {
  if (typeof json !== "object" || json === null) return null;
  const { authority, next, former, first_page } = json as Fields;
  const isAnswer =
    isNamed(authority, null) &&
    (next === null || isNamed(next, "takes_over")) &&
    Array.isArray(former) &&
    former.every((authority) => isNamed(authority, "until")) &&
    // it becomes a link
    typeof first_page === "string" &&
    /^https?:\/\//.test(first_page);
  return isAnswer ? (json as AuthorityAnswer) : null;
}

/** Keep an answer. It came over the present authority, so this phone trusts that one. */
export function keepAnswer(kept: AuthorityKept, answer: AuthorityAnswer): AuthorityKept {
  const { sha256 } = answer.authority;
  const met = kept.met.includes(sha256) ? kept.met : [...kept.met, sha256];
  return { ...kept, answer, met };
}

/** What the person is to be told. `answered` is the server's last answer, ms since 1970. */
export function notesOf(kept: AuthorityKept, now_ms: number, answered: number): AuthorityNote[] {
  const { answer, met, opened, trusted, removed } = kept;
  if (answer === null) return [];
  const notes: AuthorityNote[] = [];
  if (answer.next !== null) {
    const { name, sha256, takes_over: day } = answer.next;
    if (dayOf(now_ms) <= day) {
      if (trusted !== sha256)
        notes.push({ kind: "next", name, sha256, day, opened: opened === sha256 });
    } else if (dayOf(answered) <= day) {
      // an answer since then would have come over it; without one, whoever said so may be mistaken
      notes.push({ kind: "due", name, sha256, day });
    }
  }
  const recently = dayOf(now_ms - REMINDED_MS);
  for (const { name, sha256, until: day } of answer.former) {
    if (removed.includes(sha256) || sha256 === answer.authority.sha256) continue;
    if (met.includes(sha256) || day >= recently) notes.push({ kind: "former", name, sha256, day });
  }
  return notes;
}

/** Asks after a round that went well: the first of a start, and then once a day. */
export class AuthorityWatch {
  private kept: AuthorityKept = NOTHING_HEARD;
  private asked_ms: number | null = null;
  private turn: Promise<void> = Promise.resolve();

  /** `ask` gives the server's answer; `tell` hears what is kept, whenever it changes. */
  constructor(
    private readonly facts: Facts,
    private readonly ask: () => Promise<unknown>,
    private readonly tell: (kept: AuthorityKept) => void,
  ) {}

  /** Read what was kept before; without a store there is nothing to tell. */
  async start(): Promise<void> {
    await this.change((kept) => kept);
  }

  /** Whether that is settled for the day: false where nobody answered, and it is to be asked again. */
  async roundWentWell(now_ms: number): Promise<boolean> {
    if (this.asked_ms !== null && now_ms - this.asked_ms < DAY_MS) return true;
    this.asked_ms = now_ms;
    let json: unknown = null;
    try {
      json = await this.ask();
    } catch (problem) {
      // a server that does not know the question has answered
      if (!(problem instanceof Refused)) this.asked_ms = null;
    }
    const answer = readAnswer(json);
    if (answer !== null) await this.change((kept) => keepAnswer(kept, answer));
    return this.asked_ms !== null;
  }

  opened(sha256: string): Promise<void> {
    return this.change((kept) => ({ ...kept, opened: sha256 }));
  }

  trusted(sha256: string): Promise<void> {
    return this.change((kept) => ({ ...kept, trusted: sha256 }));
  }

  removed(sha256: string): Promise<void> {
    return this.change((kept) => ({ ...kept, removed: [...kept.removed, sha256] }));
  }

  /** One change after the other, on what is stored: another tab may have changed it. */
  private change(how: (kept: AuthorityKept) => AuthorityKept): Promise<void> {
    this.turn = this.turn.then(async () => {
      const before = (await this.facts.read("authority").catch(() => undefined)) ?? this.kept;
      const after = how(before);
      // not worth an alarm: whatever is not kept is asked and told again at the next start
      if (after !== before) await this.facts.write("authority", after).catch(() => undefined);
      this.kept = after;
      this.tell(after); // once it is kept: the app may be closed as soon as a notice is gone
    });
    return this.turn;
  }
}
