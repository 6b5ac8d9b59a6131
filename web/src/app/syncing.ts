/** When to send: after an entry, when the page comes back to the front, and by itself later. */

import { askPairing } from "../store/api";
import { stopSettling } from "../store/log";
import { askedNow, deviceId, readMeta, writeMeta } from "../store/meta";
import { Syncer } from "../store/sync";
import { syncState } from "./signals";
import { openVisit, takeBundlesAlong, tellTabs, whenRecorded } from "./visit";
import { words } from "./words";

/** iOS resumes a page before its network: the first request on the event itself fails. */
const RESUME_MS = 1_500;

const syncer = new Syncer(
  (state) => {
    syncState.value = state;
    if (state.trouble?.kind === "pair") void introduce();
  },
  async (visits) => {
    // the checklist of a visit from another phone must be here before the signal is gone
    await takeBundlesAlong(visits).catch(() => undefined);
    tellTabs(visits);
    const visit = openVisit.value;
    if (visit !== null && visits.includes(visit.id)) await visit.refold();
  },
);

/** On the server's own machine, until somebody chose a passphrase there: it approves at once. */
const OWN_MACHINE = /^(localhost|127\.0\.0\.1|\[::1\])$/;
let introduced = false;

async function introduce(): Promise<void> {
  if (introduced || !OWN_MACHINE.test(location.hostname)) return;
  introduced = true;
  const kept = await readMeta("pairing").catch(() => null);
  if (kept && kept.until > Date.now()) return;
  const answer = await askPairing(await deviceId(), words.pair.defaultName).catch(() => null);
  if (answer?.state === "approved") syncer.soon(0);
  // a person has to approve: the pairing screen goes on with this request instead of a second one
  else if (answer) await writeMeta("pairing", askedNow(answer)).catch(() => undefined);
}

export function sendNow(): Promise<void> {
  return syncer.now();
}

export function startSyncing(): void {
  whenRecorded((count) => {
    syncer.recorded(count);
    syncer.soon();
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") syncer.soon(RESUME_MS);
  });
  window.addEventListener("pagehide", stopSettling);
  // a hint that it may be worth trying, never the reason not to
  window.addEventListener("online", () => syncer.soon(RESUME_MS));
  void syncer.refresh();
  syncer.soon();
}
