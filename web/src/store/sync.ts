/**
 * Bringing the log and the photos to the server, and what others wrote to this phone.
 *
 * One tab at a time (a Web Lock, taken only if free). What the server holds is learnt from its
 * answers alone: `navigator.onLine` decides nothing. Everything may be repeated without harm, so
 * after any failure the next try simply begins again with what is not yet acknowledged.
 */

import type { LogEvent } from "../shared/event";
import { missingPhotos, pull, push, Refused, Unreachable, uploadPhoto } from "./api";
import { hashOfEvent } from "./chain";
import { stampTime } from "./clock";
import { BatchRefused, held, ownEvents, ownTop, receive } from "./log";
import { deviceId, readMeta, type SyncMark, writeMeta } from "./meta";
import { forgetHeld, markHeld, photoBytes, unsentPhotos } from "./photos";

const BATCH = 1_000;
const BATCH_BYTES = 4_000_000;
const PHOTOS_AT_ONCE = 200;
const FIRST_WAIT_MS = 2_000;
/** Refusals are asked about slowly; a server that is merely out of reach may be back any moment. */
const LONGEST_WAIT_MS = { unreachable: 20_000, refused: 5 * 60_000 };

/** Where the work stands, for the line that is always on screen. */
export interface SyncState {
  /** phone: all saved here, some of it not sent; sending; server: all of it acknowledged. */
  where: "phone" | "sending" | "server";
  unsentEvents: number;
  unsentPhotos: number;
  unsentBytes: number;
  /** Position within the present sending. */
  sent: number;
  total: number;
  /** ms since 1970 of the oldest thing the server does not have. */
  oldest: number | null;
  /** ms since 1970 of the last real answer of the server, 0 for never. */
  answered: number;
  /** Server's clock minus this phone's, ms. */
  skew: number;
  /** What stands in the way, if anything does. */
  trouble: null | { kind: "unreachable" | "pair" | "app_too_old" | "refused"; text: string };
}

export const NOTHING_KNOWN: SyncState = {
  where: "phone",
  unsentEvents: 0,
  unsentPhotos: 0,
  unsentBytes: 0,
  sent: 0,
  total: 0,
  oldest: null,
  answered: 0,
  skew: 0,
  trouble: null,
};

async function mark(): Promise<SyncMark> {
  return (await readMeta("sync")) ?? { acknowledged: 0, answered: 0, skew: 0, run: "" };
}

/** Count what is unsent. */
export async function takeStock(): Promise<
  Pick<SyncState, "unsentEvents" | "unsentPhotos" | "unsentBytes" | "oldest" | "answered" | "skew">
> {
  const [{ acknowledged, answered, skew }, top, photos] = await Promise.all([
    mark(),
    ownTop(),
    unsentPhotos(),
  ]);
  const [first] = top > acknowledged ? await ownEvents(acknowledged + 1, 1) : [];
  const ages = [first === undefined ? null : stampTime(first.at), photos[0]?.stored ?? null].filter(
    (age) => age !== null,
  );
  return {
    unsentEvents: Math.max(0, top - acknowledged),
    unsentPhotos: photos.length,
    unsentBytes: photos.reduce((sum, photo) => sum + photo.size, 0),
    oldest: ages.length === 0 ? null : Math.min(...ages),
    answered,
    skew,
  };
}

function fitting(events: LogEvent[]): LogEvent[] {
  let size = 0;
  for (const [index, event] of events.entries()) {
    size += JSON.stringify(event).length;
    if (size > BATCH_BYTES && index > 0) return events.slice(0, index);
  }
  return events;
}

export class Syncer {
  private state: SyncState = NOTHING_KNOWN;
  private running = false;
  private again = false;
  private failures = 0;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private stopped = false;

  /**
   * `tell` hears every change of state; `arrived` is called with the visits that others wrote to.
   * `random` and `batch` are there for tests: no chance, and several pushes from few events.
   */
  constructor(
    private readonly tell: (state: SyncState) => void,
    private readonly arrived: (visits: string[]) => Promise<void>,
    private readonly random: () => number = Math.random,
    private readonly batch: number = BATCH,
  ) {}

  stop(): void {
    this.stopped = true;
    clearTimeout(this.timer);
  }

  /** Something was recorded, or the person asks: go now. */
  async now(): Promise<void> {
    clearTimeout(this.timer);
    if (this.running) {
      this.again = true;
      return;
    }
    this.running = true;
    try {
      do {
        this.again = false;
        await this.oneAtATime();
      } while (this.again && !this.stopped);
    } finally {
      this.running = false;
    }
  }

  /** Go in a moment; several calls are one. */
  soon(delay_ms = 400): void {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.now(), delay_ms);
  }

  /** So many entries were recorded just now: from this moment the server lacks them. */
  recorded(count: number): void {
    const where = this.state.where === "server" ? "phone" : this.state.where;
    this.say({ where, unsentEvents: this.state.unsentEvents + count });
  }

  /** The count of what is unsent has changed: say so without going to the server. */
  async refresh(): Promise<void> {
    if (this.running) return;
    const stock = await takeStock();
    const all = stock.unsentEvents + stock.unsentPhotos;
    this.say({ ...stock, where: all === 0 && stock.answered > 0 ? "server" : "phone" });
  }

  private say(change: Partial<SyncState>): void {
    this.state = { ...this.state, ...change };
    this.tell(this.state);
  }

  /**
   * The server answered, and has acknowledged so many entries and photos more. Before an answer,
   * nothing is said to be on its way.
   */
  private progress(events: number, photos: number): void {
    const sent = this.state.sent + events + photos;
    const unsentEvents = Math.max(0, this.state.unsentEvents - events);
    const unsentPhotos = Math.max(0, this.state.unsentPhotos - photos);
    const where = sent < this.state.total ? "sending" : this.state.where;
    this.say({ where, sent, unsentEvents, unsentPhotos });
  }

  private later(problem: unknown): void {
    if (this.stopped) return;
    const longest = LONGEST_WAIT_MS[problem instanceof Unreachable ? "unreachable" : "refused"];
    const ceiling = Math.min(longest, FIRST_WAIT_MS * 2 ** this.failures);
    this.failures += 1;
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.now(), ceiling * (0.5 + this.random() / 2));
  }

  private async oneAtATime(): Promise<void> {
    if (typeof navigator === "undefined" || navigator.locks === undefined) return this.round();
    await navigator.locks.request("bradawl-sync", { ifAvailable: true }, async (lock) => {
      if (lock === null) {
        // another tab sends; its result shows when this one looks again
        await this.stock();
        this.later(new Unreachable("Another tab is sending."));
        return;
      }
      await this.round();
    });
  }

  private async stock(): Promise<number> {
    const stock = await takeStock();
    const all = stock.unsentEvents + stock.unsentPhotos;
    this.say({ ...stock, where: all === 0 && stock.answered > 0 ? "server" : "phone" });
    return all;
  }

  private async round(): Promise<void> {
    try {
      const total = await this.stock();
      this.say({ sent: 0, total });
      await this.sendEvents();
      if (await this.fetchOthers()) await this.sendEvents();
      await this.sendPhotos();
      this.failures = 0;
      this.say({ trouble: null });
      await this.stock();
    } catch (problem) {
      this.say({ trouble: trouble(problem) });
      await this.stock();
      // a refusal is not cured by asking again at once; it is tried again slowly all the same
      if (!(problem instanceof Unreachable)) this.failures = Math.max(this.failures, 6);
      this.later(problem);
    }
  }

  private async sendEvents(): Promise<void> {
    const device = await deviceId();
    for (;;) {
      const { acknowledged } = await mark();
      const events = fitting(await ownEvents(acknowledged + 1, this.batch));
      const last = events[events.length - 1];
      if (last === undefined) return;
      let answered: { held: number; server_ms?: number };
      try {
        answered = await push(device, events, await hashOfEvent(last));
      } catch (problem) {
        if (!(await this.setBack(heldByServer(problem)))) throw problem;
        continue;
      }
      await this.heard(Math.min(answered.held, last.seq), answered.server_ms);
      this.progress(events.length, 0);
    }
  }

  /** A server restored from an older state holds less than it once acknowledged: send that again. */
  private async setBack(serverHolds: number | null): Promise<boolean> {
    const before = await mark();
    if (serverHolds === null || serverHolds >= before.acknowledged) return false;
    await writeMeta("sync", { ...before, acknowledged: serverHolds });
    return true;
  }

  private async heard(acknowledged: number, server_ms: number | undefined): Promise<void> {
    const before = await mark();
    const now = Date.now();
    await writeMeta("sync", {
      ...before,
      acknowledged,
      answered: now,
      skew: server_ms === undefined ? before.skew : server_ms - now,
    });
  }

  private async sendPhotos(): Promise<void> {
    const waiting = await unsentPhotos();
    let refused: Refused | null = null;
    for (let from = 0; from < waiting.length; from += PHOTOS_AT_ONCE) {
      const part = waiting.slice(from, from + PHOTOS_AT_ONCE);
      const missing = new Set(await missingPhotos(part.map((card) => card.sha256)));
      const present = part.filter((card) => !missing.has(card.sha256));
      if (present.length > 0) {
        await markHeld(present.map((card) => card.sha256));
        this.progress(0, present.length);
      }
      for (const card of part) {
        if (!missing.has(card.sha256)) continue;
        const photo = await photoBytes(card.sha256);
        if (photo === null) continue;
        try {
          await uploadPhoto(card.sha256, photo.type, photo.bytes);
        } catch (problem) {
          // one picture that the server will not have must not keep back the others
          if (!(problem instanceof Refused) || ![413, 415, 422].includes(problem.status))
            throw problem;
          refused ??= problem;
          continue;
        }
        await markHeld([card.sha256]);
        this.progress(0, 1);
      }
    }
    if (refused !== null) throw refused;
  }

  /** Returns whether the server turned out to be set back to an older state. */
  private async fetchOthers(): Promise<boolean> {
    const touched = new Set<string>();
    const device = await deviceId();
    try {
      for (;;) {
        const answer = await pull(await held());
        await this.heard((await mark()).acknowledged, undefined);
        await this.noticeRestart(answer.run);
        this.progress(0, 0);
        for (const batch of answer.batches) {
          for (const visit of await receive(batch)) touched.add(visit);
        }
        if (!answer.more || answer.batches.length === 0) {
          return await this.setBack(answer.held[device] ?? 0);
        }
      }
    } finally {
      if (touched.size > 0) await this.arrived([...touched]);
    }
  }

  /** A server started anew may have been restored without its photos: ask about every one again. */
  private async noticeRestart(run: string | undefined): Promise<void> {
    const before = await mark();
    if (run === undefined || run === before.run) return;
    if (before.run !== "") await forgetHeld();
    await writeMeta("sync", { ...before, run });
  }
}

function heldByServer(problem: unknown): number | null {
  if (!(problem instanceof Refused) || problem.code !== "gap") return null;
  return typeof problem.details.held === "number" ? problem.details.held : null;
}

function trouble(problem: unknown): NonNullable<SyncState["trouble"]> {
  if (problem instanceof Unreachable) return { kind: "unreachable", text: problem.message };
  if (problem instanceof Refused) {
    if (problem.status === 401 || problem.code === "not_your_device") {
      return { kind: "pair", text: problem.message };
    }
    if (problem.status === 426) return { kind: "app_too_old", text: problem.message };
    return { kind: "refused", text: problem.message };
  }
  if (problem instanceof BatchRefused) return { kind: "refused", text: problem.message };
  return { kind: "refused", text: problem instanceof Error ? problem.message : String(problem) };
}
