/** Findings in somebody's own words come when they are looked at: no start waits for them. */

import { LaterScreen } from "../../components/frame/later-screen";
import { lazyParts } from "../../state/lazy-parts";
import { catalogue, text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import type { Page } from "../../visit/walk-order";

const parts = lazyParts(async () => {
  const loaded = await import("./own-parts");
  await catalogue.also(loaded.WORDS);
  return loaded;
});

export function Own({ visit, item }: { visit: Visit; item: string | null }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.OwnScreen visit={visit} item={item} />;
  return <LaterScreen parts={parts} visit={visit} title={text("phone-app")} />;
}

/** Those of a page, and the way to a new one. */
export function OwnRows(props: { visit: Visit; kind: "area" | "stage"; page: Page }) {
  const loaded = parts.use();
  return loaded && <loaded.OwnRows {...props} />;
}
