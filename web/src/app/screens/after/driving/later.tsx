/** The drive home comes when it is looked at; it lies on the phone before. */

import { LaterScreen } from "../../../components/frame/later-screen";
import { lazyParts } from "../../../state/lazy-parts";
import { catalogue, text } from "../../../text/catalogue";
import type { Visit } from "../../../visit/visit";

const parts = lazyParts(async () => {
  const loaded = await import("./driving-parts");
  await catalogue.also(loaded.WORDS);
  return loaded;
});

export function Driving({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.DrivingScreen visit={visit} />;
  return <LaterScreen parts={parts} visit={visit} title={text("phone-decide-title")} />;
}
