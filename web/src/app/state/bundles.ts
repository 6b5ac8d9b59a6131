/** Checklists by their hash, and folding: what a visit needs before it can be shown. */

import { CONTENT } from "../../shared/cache-names";
import type { Bundle } from "../../shared/contract";
import { atOnce } from "../device/judge-client";
import { log } from "./storage";

const bundles = new Map<string, Promise<Bundle>>();

/** From where the service worker keeps it, without waking that up; else as it is to be had. */
async function findBundle(hash: string): Promise<Response> {
  const address = `/api/v1/checklists/${hash}.json`;
  const kept = await globalThis.caches
    ?.open(CONTENT)
    .then((cache) => cache.match(address))
    .catch(() => undefined);
  return kept ?? fetch(address);
}

export function fetchBundle(hash: string): Promise<Bundle> {
  let loading = bundles.get(hash);
  if (loading === undefined) {
    loading = findBundle(hash).then(async (answer) => {
      if (!answer.ok) throw new Error("The checklist of this visit is not on this phone.");
      return (await answer.json()) as Bundle;
    });
    bundles.set(hash, loading);
    loading.catch(() => bundles.delete(hash));
  }
  return loading;
}

/** Fold what other devices wrote to a visit; nothing where they wrote nothing. */
export function foldFromOthers(visit: string): Promise<number> {
  return log.rows.foldDirty(visit, (question) => atOnce.ask(question));
}

/** Make sure that the checklists of these visits are on this phone, for when there is no signal. */
export async function takeBundlesAlong(visits: string[]): Promise<void> {
  for (const visit of visits) {
    // which checklist it began with is itself among what others wrote
    await foldFromOthers(visit);
    const cells = await log.rows.cellsOf(visit);
    const hash = cells["about/bundle"]?.value;
    if (typeof hash === "string") await fetchBundle(hash);
  }
}
