/**
 * Bringing the log and the photos to the server, and what others wrote to this phone.
 *
 * One tab at a time (a Web Lock, taken only if free). What the server holds is learnt from its
 * answers alone: `navigator.onLine` decides nothing. Everything may be repeated without harm, so
 * after any failure the next try simply begins again with what is not yet acknowledged.
 */

import type { Ask } from "../../shared/judge-messages";
import type { Said } from "../../shared/said";
import { stampTime } from "../log/clock";
import type { Log } from "../log/log";
import type { Photos } from "../photos";
import { Round } from "./round";
import { missingPhotos, Refused, uploadPhoto } from "./server-api";
import { endsRound, issueOf, type SyncIssue } from "./sync-issues";

const BATCH = 1_000;
const PHOTOS_AT_ONCE = 200;
const FIRST_WAIT_MS = 2_000;
/** Refusals are asked about slowly; a server that is merely out of reach may be back any moment. */
const LONGEST_WAIT_MS = { unreachable: 20_000, refused: 5 * 60_000 };
/** What a server says of a photo that it will never have as it is. */
const PHOTO_REFUSALS = [413, 415, 422];

/** Where the work stands, for the line that is always on screen. */
export interface SyncState {
  /** phone: all saved here, some of it not sent; sending; server: all of it acknowledged. */
  where: "phone" | "sending" | "server";
  unsentEvents: number;
  unsentPhotos: number;
  unsentBytes: number;
  /** How many of the unsent photos the server will not have. */
  refusedPhotos: number;
  /** Position within the present sending. */
  sent: number;
  total: number;
  /** ms since 1970 of the oldest thing the server does not have. */
  oldest: number | null;
  /** ms since 1970 of the last real answer of the server, 0 for never. */
  answered: number;
  /** Server's clock minus this phone's, ms. */
  skew: number;
  /** What stands in the way, the foremost first. */
  issues: SyncIssue[];
}

export const NOTHING_KNOWN: SyncState = {
  where: "phone",
  unsentEvents: 0,
  unsentPhotos: 0,
  unsentBytes: 0,
  refusedPhotos: 0,
  sent: 0,
  total: 0,
  oldest: null,
  answered: 0,
  skew: 0,
  issues: [],
};

type Stock = Omit<SyncState, "where" | "sent" | "total" | "issues">;

/** Count what is unsent. */
export async function takeStock(log: Log, photos: Photos): Promise<Stock> {
  const { device } = await log.identity.get();
  const [{ acknowledged, answered, skew }, top, unsent] = await Promise.all([
    log.facts.sync(),
    log.chains.top(device),
    photos.unsent(),
  ]);
  const [first] = top > acknowledged ? await log.chains.events(device, acknowledged + 1, 1) : [];
  const ages = [first === undefined ? null : stampTime(first.at), unsent[0]?.stored ?? null].filter(
    (age) => age !== null,
  );
  return {
    unsentEvents: Math.max(0, top - acknowledged),
    unsentPhotos: unsent.length,
    unsentBytes: unsent.reduce((sum, photo) => sum + photo.size, 0),
    refusedPhotos: unsent.filter((photo) => photo.refused !== undefined).length,
    oldest: ages.length === 0 ? null : Math.min(...ages),
    answered,
    skew,
  };
}

export interface SyncListener {
  /** Hears every change of state. */
  tell(state: SyncState): void;
  /** Called with the visits that are now otherwise than this page may show them. */
  arrived(visits: string[]): Promise<void>;
  /** This phone goes on under a new number. */
  begun(): void;
  /** A round ended, and all was sent and taken that could be. */
  wentWell?(): void;
}

/** There for tests: no chance, and several pushes from few events. */
export interface SyncOptions {
  /** There is no server: what is here is counted, and nobody is asked. */
  isAlone?: boolean;
  random?: () => number;
  batch?: number;
}

export class Syncer {
  private state: SyncState = NOTHING_KNOWN;
  private running = false;
  private again = false;
  private failures = 0;
  private timer: ReturnType<typeof setTimeout> | undefined;
  private stopped = false;
  private isFirst = true;

  constructor(
    private readonly log: Log,
    private readonly photos: Photos,
    private readonly ask: Ask,
    private readonly listener: SyncListener,
    private readonly options: SyncOptions = {},
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

  /** What this phone holds may have holes, or lie on a chain that it no longer writes: look anew. */
  lookOver(): void {
    this.isFirst = true;
    this.soon();
  }

  /** So many entries were recorded just now: from this moment the server lacks them. */
  recorded(count: number): void {
    const where = this.state.where === "server" ? "phone" : this.state.where;
    this.say({ where, unsentEvents: this.state.unsentEvents + count });
  }

  /** The count of what is unsent has changed: say so without going to the server. */
  async refresh(): Promise<void> {
    if (!this.running) await this.stock();
  }

  private say(change: Partial<SyncState>): void {
    this.state = { ...this.state, ...change };
    this.listener.tell(this.state);
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

  private later(isUnreachable: boolean): void {
    if (this.stopped) return;
    const longest = LONGEST_WAIT_MS[isUnreachable ? "unreachable" : "refused"];
    const ceiling = Math.min(longest, FIRST_WAIT_MS * 2 ** this.failures);
    this.failures += 1;
    clearTimeout(this.timer);
    const random = this.options.random ?? Math.random;
    this.timer = setTimeout(() => void this.now(), ceiling * (0.5 + random() / 2));
  }

  private async oneAtATime(): Promise<void> {
    if (this.options.isAlone) return this.stock();
    if (typeof navigator === "undefined" || navigator.locks === undefined) return this.round();
    await navigator.locks.request("bradawl-sync", { ifAvailable: true }, async (lock) => {
      if (lock === null) {
        // another tab sends; its result shows when this one looks again
        await this.stock();
        this.later(true);
        return;
      }
      await this.round();
    });
  }

  private async stock(): Promise<void> {
    const stock = await takeStock(this.log, this.photos);
    const all = stock.unsentEvents + stock.unsentPhotos;
    this.say({ ...stock, where: all === 0 && stock.answered > 0 ? "server" : "phone" });
  }

  private async round(): Promise<void> {
    const issues: SyncIssue[] = [];
    try {
      await this.stock();
      this.say({ sent: 0, total: this.state.unsentEvents + this.state.unsentPhotos });
      issues.push(...(await this.exchange()));
      // photos go whatever happens to entries, unless nobody answers
      if (!issues.some(endsRound)) issues.push(...(await this.sendPhotos()));
    } catch (problem) {
      issues.push(issueOf(problem));
    }
    this.say({ issues: inOrder(issues) });
    await this.stock().catch((problem) => {
      // gone, or not to be had now: it was said, or whoever needs it next will hear
      if (issues.length === 0) this.say({ issues: [issueOf(problem)] });
    });
    const toRetry = issues.filter(({ kind }) => kind !== "photo");
    if (toRetry.length === 0) {
      this.failures = 0;
      this.listener.wentWell?.();
      return;
    }
    const isUnreachable = toRetry.every(({ kind }) => kind === "unreachable");
    // a refusal is not cured by asking again at once; it is tried again slowly all the same
    if (!isUnreachable) this.failures = Math.max(this.failures, 6);
    this.later(isUnreachable);
  }

  private async exchange(): Promise<SyncIssue[]> {
    const listener = {
      progress: (entries: number) => this.progress(entries, 0),
      restarted: async () => {
        await this.photos.forgetHeld();
        await this.photos.forgetRefusals();
      },
      begun: () => this.listener.begun(),
    };
    const batch = this.options.batch ?? BATCH;
    const round = new Round(this.log, this.ask, listener, batch, this.isFirst);
    const issues = await round.run();
    if (!issues.some(endsRound)) this.isFirst = false;
    if (round.visits.size > 0) await this.listener.arrived([...round.visits]);
    if (round.isToGoOn && !this.stopped) this.soon();
    return issues;
  }

  private async sendPhotos(): Promise<SyncIssue[]> {
    const unsent = await this.photos.unsent();
    const issues: SyncIssue[] = unsent
      .filter(({ refused }) => refused !== undefined)
      .map(({ refused }) => ({ kind: "photo", said: refused as Said }));
    const waiting = unsent.filter(({ refused }) => refused === undefined);
    for (let from = 0; from < waiting.length; from += PHOTOS_AT_ONCE) {
      const part = waiting.slice(from, from + PHOTOS_AT_ONCE).map(({ sha256 }) => sha256);
      const missing = new Set(await missingPhotos(part));
      const present = part.filter((name) => !missing.has(name));
      if (present.length > 0) {
        await this.photos.markHeld(present);
        this.progress(0, present.length);
      }
      for (const name of missing) issues.push(...(await this.sendPhoto(name)));
    }
    return issues;
  }

  /** One picture that the server will not have must not keep back the others. */
  private async sendPhoto(name: string): Promise<SyncIssue[]> {
    const photo = await this.photos.bytes(name);
    if (photo === null) return [];
    try {
      await uploadPhoto(name, photo.type, photo.bytes);
    } catch (problem) {
      if (!(problem instanceof Refused) || !PHOTO_REFUSALS.includes(problem.status)) throw problem;
      await this.photos.markRefused(name, problem.said);
      return [{ kind: "photo", said: problem.said }];
    }
    await this.photos.markHeld([name]);
    this.progress(0, 1);
    return [];
  }
}

const FOREMOST = ["pair", "app_too_old", "server_too_old", "entry", "phone", "server", "batch"];

/** What the person can do something about first. */
function inOrder(issues: SyncIssue[]): SyncIssue[] {
  const rank = ({ kind }: SyncIssue) =>
    (FOREMOST.indexOf(kind) + FOREMOST.length) % FOREMOST.length;
  return [...issues].sort((a, b) => rank(a) - rank(b));
}
