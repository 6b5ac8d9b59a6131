/** When to send: after an entry, when the page comes back to the front, and by itself later. */

import { Syncer } from "../store/sync";
import { syncState } from "./signals";
import { openVisit, takeBundlesAlong, whenRecorded } from "./visit";

/** iOS resumes a page before its network: the first request on the event itself fails. */
const RESUME_MS = 1_500;

const syncer = new Syncer(
  (state) => {
    syncState.value = state;
  },
  async (visits) => {
    // the checklist of a visit from another phone must be here before the signal is gone
    await takeBundlesAlong(visits).catch(() => undefined);
    const visit = openVisit.value;
    if (visit !== null && visits.includes(visit.id)) await visit.refold();
  },
);

export function sendNow(): Promise<void> {
  return syncer.now();
}

export function startSyncing(): void {
  whenRecorded(() => {
    void syncer.refresh();
    syncer.soon();
  });
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") syncer.soon(RESUME_MS);
  });
  // a hint that it may be worth trying, never the reason not to
  window.addEventListener("online", () => syncer.soon(RESUME_MS));
  void syncer.refresh();
  syncer.soon();
}
