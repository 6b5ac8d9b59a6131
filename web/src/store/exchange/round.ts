/**
 * One exchange with the server: own entries go, what others wrote comes, what the server lost of
 * anybody is brought, the shop's orders are obeyed. Everything may be repeated without harm.
 *
 * It mends by itself what can be mended: a chain of which two copies went different ways goes on
 * under a new number, a copy of another's that parts from the server's is brought aside and fetched
 * anew, what is missing in the middle is fetched again, and a phone that the server knows as another
 * device says that it goes on from that one.
 */

import type { LogEvent } from "../../shared/event";
import type { Ask } from "../../shared/judge-messages";
import { message, Told } from "../../shared/said";
import { quietly } from "../database";
import { NOTHING_ANSWERED, type Own, type SyncMark } from "../facts";
import { headText, sign } from "../keys";
import { type Boundaries, batchOf, fitting } from "../log/chains";
import { adopt, beginChain, type Continuing, type Source, writeApart } from "../log/continuation";
import { hashOf } from "../log/events";
import type { Log } from "../log/log";
import { applyOrders } from "../log/orders";
import { CopiesPart, receive } from "../log/receiving";
import { drop, findHoles, orphans } from "../log/repair";
import { bringAside, me, type Pulled, type Pushed, pull, push, Refused } from "./server-api";
import { sendSigned } from "./signed-batches";
import { EntryRefused, issueOf, type SyncIssue } from "./sync-issues";

/** More than one new chain in an exchange is seldom, more than this is a fault. */
const NEW_CHAINS = 3;

export interface RoundListener {
  /** The server answered, and has acknowledged so many entries more. */
  progress(entries: number): void;
  /** The server was started anew: it may lack blobs that it once acknowledged. */
  restarted(): Promise<void>;
  /** This phone goes on under a new number: other tabs should know. */
  begun(): void;
}

export class Round {
  readonly visits = new Set<string>();
  private readonly issues: SyncIssue[] = [];
  private begun = 0;
  private hole: number | null = null;
  /** Up to where the server holds this phone's own chain. */
  private ownHeld = 0;
  private want: Record<string, number> = {};
  private held: Record<string, number> = {};
  /** There is more to exchange at once. */
  isToGoOn = false;

  /** `batch`: how many own events go at once. `isFirst`: look for holes too. */
  constructor(
    private readonly log: Log,
    private readonly ask: Ask,
    private readonly listener: RoundListener,
    private readonly batch: number,
    private readonly isFirst: boolean,
  ) {}

  /** What stood in the way; each ended only what it stood before. */
  async run(): Promise<SyncIssue[]> {
    try {
      await this.exchange();
      await this.obeyShop();
    } catch (problem) {
      this.note(problem);
    }
    return this.issues;
  }

  private note(problem: unknown): void {
    const trouble = issueOf(problem);
    const told = JSON.stringify(trouble.said);
    if (!this.issues.some(({ said }) => JSON.stringify(said) === told)) this.issues.push(trouble);
  }

  private async exchange(): Promise<void> {
    if (this.isFirst) await this.lookOver();
    await this.findOrigin();
    if (this.hole === null) await this.sendOwn();
    let again = await this.fetch();
    again = (await this.closeHole()) || again;
    await this.bring();
    await this.closeHolesOfOthers();
    if (again) await this.sendOwn();
  }

  private async obeyShop(): Promise<void> {
    for (const visit of await applyOrders(this.log, this.ask)) this.visits.add(visit);
  }

  // this phone's own chain

  /** What this phone holds, seen over once: holes, and entries on a chain that it no longer writes. */
  private async lookOver(): Promise<void> {
    await findHoles(this.log);
    const own = await this.log.identity.get();
    const top = await this.log.chains.top(own.device);
    this.hole = await this.log.chains.firstMissing(own.device, top);
    for (const source of await orphans(this.log)) {
      for (const visit of await adopt(this.log, this.ask, source)) this.visits.add(visit);
    }
  }

  /** A new phone may be one that the server knows under another number: then it lost its storage. */
  private async findOrigin(): Promise<void> {
    const own = await this.log.identity.get();
    if (own.origin !== null) return;
    const { device } = await me();
    if (device === own.device) {
      await this.passOver();
      // where its copy and the server's part, it has begun a chain of another number meanwhile
      const now = await this.log.identity.get();
      if (now.origin === null) await this.log.facts.write("own", { ...now, origin: "new" });
      await this.log.identity.refresh();
      return;
    }
    // what the server has of that device comes first: up to where it goes says where this goes on
    await this.fetch();
    const row = await this.log.chains.row(device);
    const continuing = { device, seq: row?.seq ?? 0, head: row?.head ?? "", why: "lost" } as const;
    await this.begin(continuing, { device: own.device, after: 0 });
    await this.log.facts.write("lost", device);
  }

  /** What the server has of this phone already, out of a file that it handed over, is not sent. */
  private async passOver(): Promise<void> {
    const { device } = await this.log.identity.get();
    if ((await this.log.chains.top(device)) === 0) return;
    await this.fetch();
    const before = await this.log.facts.sync();
    const held = Math.min(this.ownHeld, await this.log.chains.top(device));
    if (held <= before.acknowledged) return;
    await this.log.facts.write("sync", { ...before, acknowledged: held });
    this.log.sentUpTo(device, held);
  }

  private async begin(continuing: Continuing, source: Source): Promise<void> {
    this.begun += 1;
    if (this.begun > NEW_CHAINS) {
      throw new Told(message("phone-error-new-chains"));
    }
    for (const visit of await beginChain(this.log, this.ask, continuing, source)) {
      this.visits.add(visit);
    }
    this.hole = null;
    this.listener.begun();
  }

  /** The own chain goes on under a new number after `seq`; what follows that is written anew. */
  private async goOnElsewhere(seq: number, why: Continuing["why"]): Promise<void> {
    const { device } = await this.log.identity.get();
    const head = (await this.log.chains.hashAt(device, seq)) ?? "";
    await this.begin({ device, seq, head, why }, { device, after: seq });
  }

  /** Own events that are missing here: if the server has none either, a new chain goes on. */
  private async closeHole(): Promise<boolean> {
    if (this.hole === null) return false;
    const { device } = await this.log.identity.get();
    const hole = await this.log.chains.firstMissing(device, await this.log.chains.top(device));
    this.hole = hole;
    if (hole === null) return true;
    // the server has it, and could not bring it this time: the trouble was noted
    if (this.ownHeld >= hole) return false;
    // what the server lacks of this chain goes along: its key is about to be forgotten
    await this.goOnElsewhere(Math.min(hole - 1, this.ownHeld), "lost");
    return true;
  }

  private async sendOwn(): Promise<void> {
    let mended = false;
    for (;;) {
      const own = await this.log.identity.get();
      const { acknowledged } = await this.log.facts.sync();
      const events = fitting(
        await this.log.chains.events(own.device, acknowledged + 1, this.batch),
      );
      const last = events[events.length - 1];
      if (last === undefined) return;
      const signature = await sign(own, headText(own.device, last.seq, await hashOf(last)));
      let answered: Pushed;
      try {
        answered = await push(await batchOf(own.key, events, signature));
      } catch (problem) {
        if (!(problem instanceof Refused)) throw problem;
        if (await this.goesOnAfter(problem, own, events, mended)) {
          mended = true;
          continue;
        }
        throw problem;
      }
      await this.acknowledge(own, Math.min(answered.held, last.seq), signature, answered);
      this.listener.progress(events.length);
    }
  }

  /** Whether a refusal of own events is settled, so that it is tried again. Raises EntryRefused. */
  private async goesOnAfter(
    problem: Refused,
    own: Own,
    events: LogEvent[],
    mended: boolean,
  ): Promise<boolean> {
    const { code, details } = problem;
    const first = events[0] as LogEvent;
    if (code === "gap" && typeof details.held === "number") return this.setBack(details.held);
    if (code === "fork" && Array.isArray(details.boundaries)) {
      const boundaries = details.boundaries as Boundaries;
      await this.goOnElsewhere(await this.log.chains.shared(own.device, boundaries), "forked");
      return true;
    }
    if (code === "event" && typeof details.index === "number") {
      throw new EntryRefused(first.seq + details.index, problem.said);
    }
    if ((code !== "chain" && code !== "signature") || mended) return false;
    // this phone's own copy is damaged: what it says is written anew
    await this.goOnElsewhere(first.seq - 1, "lost");
    return true;
  }

  private async acknowledge(
    { device }: Own,
    seq: number,
    signature: string,
    { server_ms }: Pushed,
  ): Promise<void> {
    await this.log.store.transact(["meta", "signatures"], async (tx) => {
      const meta = tx.objectStore("meta");
      const before = ((await meta.get("sync")) as SyncMark | undefined) ?? NOTHING_ANSWERED;
      quietly(meta.put({ ...afterAnswer(before, server_ms), acknowledged: seq }, "sync"));
      quietly(tx.objectStore("signatures").put({ device, seq, signature }));
    });
    this.log.sentUpTo(device, seq);
  }

  /** A server restored from an older state holds less than it once acknowledged: send that again. */
  private async setBack(serverHolds: number): Promise<boolean> {
    const before = await this.log.facts.sync();
    if (serverHolds >= before.acknowledged) return false;
    await this.log.facts.write("sync", { ...before, acknowledged: serverHolds });
    return true;
  }

  // other devices' chains

  /** Fetch what this phone lacks; whether own events are to be sent once more. */
  private async fetch(): Promise<boolean> {
    let again = false;
    for (;;) {
      const answer = await pull(await this.have());
      await this.listen(answer);
      let progress = await this.take(answer);
      const { device } = await this.log.identity.get();
      this.held = answer.held;
      this.want = answer.want ?? {};
      // less than it holds where some of it is damaged there; a new chain is not there yet
      this.ownHeld = this.want[device] ?? answer.held[device] ?? 0;
      again = (await this.setBack(this.ownHeld)) || again;
      const forked = answer.forked ?? {};
      progress = (await this.meetForks(forked)) || progress;
      again = again || forked[device] !== undefined;
      const isAll = !answer.more && Object.keys(forked).length === 0;
      if (isAll || !progress) return again;
    }
  }

  private async have() {
    const own = await this.log.identity.get();
    const seq = this.hole === null ? await this.log.chains.top(own.device) : this.hole - 1;
    const head = (await this.log.chains.hashAt(own.device, seq)) ?? "";
    return this.log.chains.have({ device: own.device, seq, head });
  }

  private async listen({ run, shop, server_ms }: Pulled): Promise<void> {
    const before = await this.log.facts.sync();
    const now = { ...afterAnswer(before, server_ms), run: run ?? before.run };
    if (before.run !== "" && now.run !== before.run) await this.listener.restarted();
    await this.log.facts.write("sync", now);
    this.listener.progress(0);
    if (shop === undefined) return;
    const storedShop = (await this.log.facts.read("shop")) ?? [];
    if (String(storedShop) === String(shop)) return;
    await this.log.facts.write("shop", shop);
    await this.log.facts.write("ordersDue", String(server_ms ?? Date.now()));
  }

  /** Keep every batch that holds, and say of each other what is wrong; whether any was new. */
  private async take({ batches }: Pulled): Promise<boolean> {
    let progress = false;
    for (const batch of batches) {
      try {
        const { count, visits } = await receive(this.log, batch);
        for (const visit of visits) this.visits.add(visit);
        progress ||= count > 0;
      } catch (problem) {
        if (problem instanceof CopiesPart) {
          progress = (await this.meetFork(problem.device, problem.seq)) || progress;
        } else if (issueOf(problem).kind === "batch") this.note(problem);
        else throw problem;
      }
    }
    return progress;
  }

  private async meetForks(forked: Record<string, Boundaries>): Promise<boolean> {
    let met = false;
    for (const [device, boundaries] of Object.entries(forked)) {
      const shared = await this.log.chains.shared(device, boundaries);
      met = (await this.meetFork(device, shared)) || met;
    }
    return met;
  }

  /** A chain's copies here and on the server part after `shared`; whether that is settled. */
  private async meetFork(device: string, shared: number): Promise<boolean> {
    const own = await this.log.identity.get();
    if (device !== own.device) return this.bringAsideAndDrop(device, shared);
    await this.goOnElsewhere(shared, "forked");
    return true;
  }

  /** Two lives of another device met: this phone's copy is kept by the server beside its own. */
  private async bringAsideAndDrop(device: string, shared: number): Promise<boolean> {
    let unsigned: number[];
    try {
      const upTo = await this.log.chains.top(device);
      unsigned = await sendSigned(this.log, device, { after: shared, upTo }, bringAside);
    } catch (problem) {
      if (!(problem instanceof Refused) || isOfThePhone(problem)) throw problem;
      // it stays here until the server takes it
      this.note(problem);
      return false;
    }
    if (unsigned.length > 0) await this.bringApart(device, shared, unsigned);
    else for (const visit of await drop(this.log, device, shared)) this.visits.add(visit);
    return true;
  }

  /** What no signature of its device ends any more goes on a chain of its own. */
  private async bringApart(device: string, after: number, seqs: number[]): Promise<void> {
    const { apart, visits } = await writeApart(this.log, this.ask, { device, after, seqs });
    for (const visit of visits) this.visits.add(visit);
    await this.bringOne(apart, 0);
  }

  /** Bring what the server lost of any device. */
  private async bring(): Promise<void> {
    const own = await this.log.identity.get();
    for (const [device, held] of Object.entries(this.want)) {
      if (device !== own.device) await this.bringOne(device, held);
    }
    this.want = {};
  }

  private async bringOne(device: string, held: number): Promise<void> {
    const row = await this.log.chains.row(device);
    if (row === undefined) return;
    const upTo = row.hole === undefined ? row.seq : row.hole - 1;
    let unsigned: number[];
    try {
      unsigned = await sendSigned(this.log, device, { after: held, upTo }, async (batch) => {
        await push(batch);
        this.listener.progress(0);
      });
    } catch (problem) {
      if (!(problem instanceof Refused) || isOfThePhone(problem)) throw problem;
      const boundaries = problem.details.boundaries;
      if (problem.code === "fork" && Array.isArray(boundaries)) {
        // the server's own copy comes with the next exchange
        this.isToGoOn = await this.meetForks({ [device]: boundaries as Boundaries });
      } else this.note(problem);
      return;
    }
    const [first] = unsigned;
    // before a hole: it is settled with what follows that
    if (first === undefined || row.hole !== undefined) return;
    await this.bringApart(device, first - 1, unsigned);
  }

  /** What nobody has is missing for good: what follows it is kept by the server on a side chain. */
  private async closeHolesOfOthers(): Promise<void> {
    for (const { device, hole } of await this.log.chains.rows()) {
      const held = this.held[device] ?? 0;
      if (hole === undefined || held >= hole) continue;
      const stays = Math.min(held, hole - 1);
      this.isToGoOn = (await this.bringAsideAndDrop(device, stays)) || this.isToGoOn;
    }
  }
}

/** Whether a refusal is about this phone or the protocol, and not about one chain. */
function isOfThePhone({ status, code }: Refused): boolean {
  return [401, 403, 426].includes(status) || status >= 500 || code === "server_too_old";
}

function afterAnswer(before: SyncMark, server_ms: number | undefined): SyncMark {
  const now = Date.now();
  if (server_ms === undefined) return { ...before, answered: now };
  return { ...before, answered: now, skew: server_ms - now, server_ms };
}
