/** When to send: after an entry, when the page comes back to the front, and by itself later. */

import type { Question } from "../../shared/judge-messages";
import { leaveOut } from "../../store/exchange/leaving";
import { askPairing } from "../../store/exchange/server-api";
import { NOTHING_KNOWN, Syncer } from "../../store/exchange/sync";
import { askedNow } from "../../store/facts";
import { authority } from "../device/authority";
import { atOnce, inDepth } from "../device/judge-client";
import { tellTabs, tellTabsOfChain, whenTabsBegin } from "../device/tabs";
import { words } from "../text/en";
import { alarm, notice, preferences, syncState, vanished } from "./app-state";
import { takeBundlesAlong } from "./bundles";
import { openVisit, showAgain } from "./open-visit";
import { facts, log, photos, store } from "./storage";
import { whenRecorded } from "./visit";

/** iOS resumes a page before its network: the first request on the event itself fails. */
const RESUME_MS = 1_500;

/** What an exchange asks the judge must keep no tap waiting. */
const ask = <Q extends Question>(question: Q) =>
  (question.ask === "fold" ? atOnce : inDepth).ask(question);

async function arrived(visits: string[]): Promise<void> {
  // the checklist of a visit from another phone must be here before the signal is gone
  await takeBundlesAlong(visits).catch(() => undefined);
  tellTabs(visits);
  const visit = openVisit.value;
  if (visit !== null && visits.includes(visit.id)) await visit.refold();
}

const syncer = new Syncer(log, photos, ask, {
  tell(state) {
    syncState.value = state;
    if (state.troubles[0]?.kind === "pair") void introduce();
  },
  arrived,
  begun: tellTabsOfChain,
  wentWell: () => void authority.roundWentWell(Date.now()),
});

/** On the server's own machine, until somebody chose a passphrase there: it approves at once. */
const OWN_MACHINE = /^(localhost|127\.0\.0\.1|\[::1\])$/;
let introduced = false;

async function introduce(): Promise<void> {
  if (introduced || !OWN_MACHINE.test(location.hostname)) return;
  introduced = true;
  const kept = await facts.read("pairing").catch(() => null);
  if (kept && kept.until > Date.now()) return;
  const own = await log.identity.get();
  const answer = await askPairing(own, words.pair.defaultName).catch(() => null);
  if (answer?.state === "approved") syncer.soon(0);
  // a person has to approve: the pairing screen goes on with this request instead of a second one
  else if (answer) await facts.write("pairing", askedNow(answer)).catch(() => undefined);
}

export function sendNow(): Promise<void> {
  return syncer.now();
}

/** Try again all that the server would not have. */
export async function tryAgain(): Promise<void> {
  await photos.forgetRefusals();
  await syncer.now();
}

/** What is unsent has become less otherwise than by sending. */
export function countAnew(): Promise<void> {
  return syncer.refresh();
}

/** Go on without an own entry that the server does not take. */
export async function goOnWithout(seq: number): Promise<void> {
  const visits = await leaveOut(log, ask, seq);
  tellTabsOfChain();
  await arrived(visits);
  await syncer.now();
}

/** The storage is gone: what this page had counted as unsent, and what of it is still in memory. */
function tellVanished(): void {
  const { unsentEvents, unsentPhotos } = syncState.value;
  alarm.value = null;
  notice.value = null;
  vanished.value = { entries: unsentEvents, photos: unsentPhotos, here: log.unsentHere() };
}

/**
 * Begin with the storage as it is now. `again`: what this page recorded and nobody has is recorded
 * once more, on the new chain.
 */
export async function beginAnew(again: boolean): Promise<void> {
  const puts = log.takeUnsent();
  store.beginAnew();
  log.forget();
  introduced = false;
  syncState.value = NOTHING_KNOWN;
  vanished.value = null;
  try {
    await facts.write("preferences", preferences.value);
    if (again && puts.length > 0) await log.append(puts);
  } catch {
    alarm.value = {
      text: words.alarm.write,
      again: () => void log.append(puts).then(() => (alarm.value = null)),
    };
  }
  await showAgain();
  syncer.lookOver();
  await navigator.storage?.persist?.();
}

export function startSyncing(): void {
  void authority.start();
  whenRecorded((count) => {
    syncer.recorded(count);
    syncer.soon();
  });
  whenTabsBegin(() => {
    log.forget();
    void syncer.refresh();
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState !== "visible") return;
    void store.look();
    syncer.soon(RESUME_MS);
  });
  window.addEventListener("pagehide", () => log.rows.stopSettling());
  // a hint that it may be worth trying, never the reason not to
  window.addEventListener("online", () => syncer.soon(RESUME_MS));
  void syncer.refresh().catch(() => undefined);
  syncer.soon();
}

/** Hear of it when the storage goes away; from the very start of the page. */
export function watchStorage(): void {
  store.whenVanished(tellVanished);
  store.whenOutdated(() => {
    alarm.value = { text: words.alarm.outdated, again: null };
  });
}
