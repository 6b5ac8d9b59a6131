/** What is done before one leaves a car comes when it is looked at; it lies on the phone before. */

import { LaterScreen } from "../../../components/frame/later-screen";
import { lazyParts } from "../../../state/lazy-parts";
import { catalogue, text } from "../../../text/catalogue";
import type { Visit } from "../../../visit/visit";

const parts = lazyParts(async () => {
  const loaded = await import("./leaving-parts");
  await catalogue.also(loaded.WORDS);
  return loaded;
});

export function Leaving(props: { visit: Visit; part: string | null }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.LeavingScreen {...props} />;
  return <LaterScreen parts={parts} visit={props.visit} title={text("phone-decide-title")} />;
}

/** That this car was looked at before, where it was. */
export function SeenBefore({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  return loaded && <loaded.SeenBefore visit={visit} />;
}
