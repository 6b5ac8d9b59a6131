/** The ad and the claims come when they are looked at; they lie on the phone before. */

import { LaterScreen } from "../../components/frame/later-screen";
import { lazyParts } from "../../state/lazy-parts";
import { catalogue, text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

const parts = lazyParts(async () => {
  const loaded = await import("./ad-parts");
  await catalogue.also(loaded.WORDS);
  return loaded;
});

export function Ad({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.AdScreen visit={visit} />;
  return <LaterScreen parts={parts} visit={visit} title={text("phone-walk-ad")} />;
}

/** What another app shared and that waits for a car. */
export function Shared() {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.SharedAds />;
  return <LaterScreen parts={parts} title={text("phone-walk-ad")} />;
}

/** The claims that checks of these have answered, each with its tap. */
export function ToSettle(props: { visit: Visit; items: readonly string[] | null }) {
  const loaded = parts.use();
  return loaded && <loaded.ToSettle {...props} />;
}
