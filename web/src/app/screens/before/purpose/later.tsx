/** What the car is for comes when it is looked at; it lies on the phone before. */

import { LaterScreen } from "../../../components/frame/later-screen";
import { lazyParts } from "../../../state/lazy-parts";
import { catalogue, text } from "../../../text/catalogue";
import type { Visit } from "../../../visit/visit";

const parts = lazyParts(async () => {
  const loaded = await import("./purpose-parts");
  await catalogue.also(loaded.WORDS);
  return loaded;
});

export function Purpose({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.PurposeScreen visit={visit} />;
  return <LaterScreen parts={parts} visit={visit} title={text("phone-walk-purpose")} />;
}

/** The cars of this phone beside one another. */
export function Compare() {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.CompareScreen />;
  return <LaterScreen parts={parts} title={text("phone-cars-compare")} />;
}

/** How the must-haves stand, where one decides. */
export function PurposeStrip({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  return loaded && <loaded.Strip visit={visit} />;
}
