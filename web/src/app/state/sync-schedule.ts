/** When to send: after an entry, when the page comes back to the front, and by itself later. */

import type { Ask } from "../../shared/judge-messages";
import { message } from "../../shared/said";
import { StoreVanished } from "../../store/database";
import type { AuthorityWatch } from "../../store/exchange/authority";
import { leaveOut } from "../../store/exchange/leave-out";
import { askPairing } from "../../store/exchange/server-api";
import { NOTHING_KNOWN, Syncer, type SyncState } from "../../store/exchange/sync";
import { pairingRequestOf } from "../../store/facts";
import type { Tabs } from "../device/tabs";
import { text } from "../text/catalogue";
import type { VisitServices } from "../visit/visit";
import type { OpenVisit } from "./open-visit";

/** iOS resumes a page before its network: the first request on the event itself fails. */
const RESUME_MS = 1_500;
/** The round went well and the question after it was lost: the next round asks again. */
const UNHEARD_MS = 20_000;
/** While a visit is open: somebody else may have begun to write to it. */
const OTHERS_MS = 60_000;

/** On the server's own machine, until somebody chose a passphrase there: it approves at once. */
const OWN_MACHINE = /^(localhost|127\.0\.0\.1|\[::1\])$/;

/** What the schedule works with beside what a visit does. */
export interface SyncServices extends Omit<VisitServices, "onRecorded"> {
  open: OpenVisit;
  authority: AuthorityWatch;
  photos: ConstructorParameters<typeof Syncer>[1];
  tabs: Tabs;
  /** Where the app comes from. */
  hostname: string;
  /** Whether there is no server: then nobody is asked. */
  isAlone: boolean;
}

export class SyncSchedule {
  private readonly syncer: Syncer;
  private readonly ask: Ask;
  private isIntroduced = false;

  constructor(private readonly services: SyncServices) {
    const { log, photos, judges, state, tabs, open, isAlone } = services;
    this.ask = (question) => judges.ask(question);
    const listener = {
      tell: (now: SyncState) => {
        state.syncState.value = now;
        if (now.issues[0]?.kind === "pair") void this.introduce();
      },
      arrived: (visits: string[]) => this.arrived(visits),
      begun: () => tabs.tellChain(),
      wentWell: () => void this.askAuthority(),
    };
    this.syncer = new Syncer(log, photos, this.ask, listener, { isAlone });
    tabs.listen({
      visitChanged: (visit) => void open.changed(visit).catch(() => undefined),
      chainBegun: () => {
        log.forget();
        void this.syncer.refresh();
      },
    });
  }

  private async askAuthority(): Promise<void> {
    if (!(await this.services.authority.roundWentWell(Date.now()))) this.syncer.soon(UNHEARD_MS);
  }

  private async arrived(visits: string[]): Promise<void> {
    const { bundles, tabs, open } = this.services;
    // the checklist of a visit from another phone must be here before the signal is gone
    await bundles.takeAlong(visits).catch(() => undefined);
    tabs.tellVisits(visits);
    for (const visit of visits) await open.changed(visit);
  }

  /** Ask to be paired, once, where nobody need approve. */
  private async introduce(): Promise<void> {
    const { log, hostname } = this.services;
    if (this.isIntroduced || !OWN_MACHINE.test(hostname)) return;
    this.isIntroduced = true;
    const stored = await log.facts.read("pairing").catch(() => null);
    if (stored && stored.until > Date.now()) return;
    const own = await log.identity.get();
    const answer = await askPairing(own, text("phone-pair-default-name")).catch(() => null);
    if (answer?.state === "approved") this.syncer.soon(0);
    // a person has to approve: the pairing screen goes on with this request instead of a second one
    else if (answer)
      await log.facts.write("pairing", pairingRequestOf(answer)).catch(() => undefined);
  }

  now(): Promise<void> {
    return this.syncer.now();
  }

  /** So many entries were stored: send them in a moment. */
  recorded(count: number): void {
    this.syncer.recorded(count);
    this.syncer.soon();
  }

  /** Try again all that the server would not have. */
  async tryAgain(): Promise<void> {
    await this.services.photos.forgetRefusals();
    await this.syncer.now();
  }

  /** What is unsent has become less otherwise than by sending. */
  countAnew(): Promise<void> {
    return this.syncer.refresh();
  }

  /** Go on without an own entry that the server does not take. */
  async goOnWithout(seq: number): Promise<void> {
    const { log, tabs } = this.services;
    const visits = await leaveOut(log, this.ask, seq);
    tabs.tellChain();
    await this.arrived(visits);
    await this.syncer.now();
  }

  /** The storage is gone: what this page had counted as unsent, and what of it is still in memory. */
  private tellVanished(): void {
    const { log, state } = this.services;
    const { unsentEvents, unsentPhotos } = state.syncState.value;
    state.alarm.value = null;
    state.notice.value = null;
    const here = log.unsentHere();
    state.vanished.value = { entries: unsentEvents, photos: unsentPhotos, here };
  }

  /**
   * Begin with the storage as it is now. `again`: what this page recorded and nobody has is recorded
   * once more, on the new chain.
   */
  async beginAnew(again: boolean): Promise<void> {
    const { log, store, state, open } = this.services;
    const puts = log.takeUnsent();
    store.beginAnew();
    log.forget();
    this.isIntroduced = false;
    state.syncState.value = NOTHING_KNOWN;
    state.vanished.value = null;
    try {
      await state.setPreferences({});
      if (again && puts.length > 0) await log.append(puts);
    } catch {
      const tryAgain = async () => {
        await log.append(puts);
        state.alarm.value = null;
      };
      state.alarm.value = { said: message("phone-alarm-write"), again: () => void tryAgain() };
    }
    await open.showAgain();
    this.syncer.lookOver();
    await navigator.storage?.persist?.();
  }

  /** Begin to send, and go on whenever the page has reason to. */
  start(page: Document, view: Window): void {
    const { authority, log, open, state, store } = this.services;
    void authority.start();
    page.addEventListener("visibilitychange", () => {
      if (page.visibilityState !== "visible") return;
      void store.look();
      this.syncer.soon(RESUME_MS);
    });
    view.setInterval(() => {
      const isLooked = page.visibilityState === "visible" && open.visit.peek() !== null;
      if (isLooked && state.syncState.peek().issues.length === 0) this.syncer.soon(0);
    }, OTHERS_MS);
    view.addEventListener("pagehide", () => log.rows.stopSettling());
    // a hint that it may be worth trying, never the reason not to
    view.addEventListener("online", () => this.syncer.soon(RESUME_MS));
    void this.syncer.refresh().catch(() => undefined);
    this.syncer.soon();
  }

  /** Hear of it when the storage goes away; from the very start of the page. */
  watchStorage(view: Pick<Window, "addEventListener">): void {
    const { store, state } = this.services;
    // whatever was under way fails of it, and one screen says so
    view.addEventListener("unhandledrejection", (event) => {
      if (event.reason instanceof StoreVanished) event.preventDefault();
    });
    store.whenVanished(() => this.tellVanished());
    store.whenOutdated(() => {
      state.alarm.value = { said: message("phone-alarm-outdated"), again: null };
    });
  }

  /** Send no more (tests). */
  stop(): void {
    this.syncer.stop();
  }
}
