/** What is done before one goes comes when it is looked at; it lies on the phone before. */

import { LaterScreen } from "../../../components/frame/later-screen";
import { lazyParts } from "../../../state/lazy-parts";
import { catalogue, text } from "../../../text/catalogue";
import type { Visit } from "../../../visit/visit";

const parts = lazyParts(async () => {
  const loaded = await import("./going-parts");
  await catalogue.also(loaded.WORDS);
  return loaded;
});

export function Going(props: { visit: Visit; part: string | null }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.GoingScreen {...props} />;
  return <LaterScreen parts={parts} visit={props.visit} title={text("phone-walk-going")} />;
}
