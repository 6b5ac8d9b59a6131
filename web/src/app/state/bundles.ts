/** Checklists by their hash, and folding: what a visit needs before it can be shown. */

import { CONTENT } from "../../shared/cache-names";
import type { Bundle } from "../../shared/contract";
import type { Ask } from "../../shared/judge-messages";
import { message, Told } from "../../shared/said";
import type { Log } from "../../store/log/log";

/** From where the service worker keeps it, without waking that up; else as it is to be had. */
async function findBundle(hash: string): Promise<Response> {
  const path = `/api/v1/checklists/${hash}.json`;
  const cached = await globalThis.caches
    ?.open(CONTENT)
    .then((cache) => cache.match(path))
    .catch(() => undefined);
  return cached ?? fetch(path);
}

export class Bundles {
  private readonly loading = new Map<string, Promise<Bundle>>();

  /** `ask` folds; it must keep no tap waiting. */
  constructor(
    private readonly log: Log,
    private readonly ask: Ask,
  ) {}

  fetch(hash: string): Promise<Bundle> {
    let bundle = this.loading.get(hash);
    if (bundle === undefined) {
      bundle = findBundle(hash).then(async (answer) => {
        if (!answer.ok) throw new Told(message("phone-error-no-checklist"));
        return (await answer.json()) as Bundle;
      });
      this.loading.set(hash, bundle);
      bundle.catch(() => this.loading.delete(hash));
    }
    return bundle;
  }

  /** Fold what other devices wrote to a visit; how many groups, 0 where they wrote nothing. */
  foldFromOthers(visit: string): Promise<number> {
    return this.log.rows.foldDirty(visit, this.ask);
  }

  /** Make sure that the checklists of these visits are on this phone, for when there is no signal. */
  async takeAlong(visits: string[]): Promise<void> {
    for (const visit of visits) {
      // which checklist it began with is itself among what others wrote
      await this.foldFromOthers(visit);
      const cells = await this.log.rows.cellsOf(visit);
      const hash = cells["about/bundle"]?.value;
      if (typeof hash === "string") await this.fetch(hash);
    }
  }
}
