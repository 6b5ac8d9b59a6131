/**
 * One page of the app: its connection to the storage, its judges, its signals, and what works with
 * them. All state is in here, so that a test makes as many pages over one storage as it wants.
 */

import { type Signal, signal } from "@preact/signals";
import { Store } from "../../store/database";
import { type AuthorityKept, AuthorityWatch, NOTHING_HEARD } from "../../store/exchange/authority";
import { trustNow } from "../../store/exchange/server-api";
import { Log } from "../../store/log/log";
import { Photos } from "../../store/photos";
import type { Judges } from "../device/judge";
import { Tabs } from "../device/tabs";
import { chosenLocale } from "../text/catalogue";
import type { VisitServices } from "../visit/visit";
import { loadVisit } from "../visit/visits";
import { AppState } from "./app-state";
import { Bundles } from "./bundles";
import { OpenVisit } from "./open-visit";
import { PendingInput } from "./pending-input";
import { SellerMode } from "./seller-mode";
import { SyncSchedule } from "./sync-schedule";

/** What a page takes from where it runs. */
export interface PageSurroundings {
  judges: Judges;
  /** To the other tabs of this phone. */
  channel: BroadcastChannel;
  /** Where the app comes from. */
  hostname: string;
  /** Whether there is no server. */
  isAlone?: boolean;
}

export class Page implements VisitServices {
  readonly store = new Store();
  readonly log = new Log(this.store);
  readonly photos = new Photos(this.store);
  readonly facts = this.log.facts;
  readonly state = new AppState(this.facts);
  readonly pendingInput = new PendingInput();
  readonly sellerMode = new SellerMode(this.facts);
  readonly judges: Judges;
  readonly tabs: Tabs;
  readonly bundles: Bundles;
  readonly open: OpenVisit;
  readonly authorityKept: Signal<AuthorityKept> = signal(NOTHING_HEARD);
  readonly authority: AuthorityWatch;
  readonly sync: SyncSchedule;

  constructor({ judges, channel, hostname, isAlone = false }: PageSurroundings) {
    this.judges = judges;
    this.tabs = new Tabs(channel);
    this.bundles = new Bundles(
      this.log,
      (question) => judges.forTaps.ask(question),
      async () => chosenLocale((await this.facts.read("preferences"))?.locale),
    );
    this.open = new OpenVisit((id) => loadVisit(this, id));
    this.authority = new AuthorityWatch(this.facts, trustNow, (kept) => {
      this.authorityKept.value = kept;
    });
    const { store, log, photos, state, tabs, bundles, open, authority } = this;
    this.sync = new SyncSchedule({
      ...{ store, log, photos, judges, bundles, tabs, state, open, authority, hostname, isAlone },
    });
  }

  onRecorded(count: number): void {
    this.sync.recorded(count);
  }
}
