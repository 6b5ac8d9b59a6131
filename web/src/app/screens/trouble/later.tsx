/** From symptom to cause: screens and words that are no part of a start, and come when looked at. */

import { LaterScreen } from "../../components/frame/later-screen";
import { lazyParts } from "../../state/lazy-parts";
import { catalogue, text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

const parts = lazyParts(async () => {
  const loaded = await import("./trouble");
  await catalogue.also(loaded.WORDS);
  return loaded;
});

export function Trouble({ visit, complaint }: { visit: Visit; complaint: string | null }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.TroubleScreen visit={visit} complaint={complaint} />;
  return <LaterScreen parts={parts} visit={visit} title={text("phone-walk-trouble")} />;
}
