/** All that is known of the car: a start and its first walk ask six facts and need no more. */

import { LaterScreen } from "../../components/frame/later-screen";
import { lazyParts } from "../../state/lazy-parts";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

const parts = lazyParts(() => import("./parts"));

export function CarFacts({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.CarFacts visit={visit} />;
  return <LaterScreen parts={parts} visit={visit} title={text("phone-facts-title")} />;
}

/** The shop may know the model: then its facts and figures are filled in, and nobody need be asked. */
export async function takeModel(visit: Visit): Promise<void> {
  const model = await import("./parts").catch(() => null);
  await model?.takeModel(visit);
}
