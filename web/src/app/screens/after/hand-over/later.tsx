/** Handing over comes when it is looked at; it lies on the phone before. */

import { LaterScreen } from "../../../components/frame/later-screen";
import { lazyParts } from "../../../state/lazy-parts";
import { catalogue, text } from "../../../text/catalogue";

const parts = lazyParts(async () => {
  const loaded = await import("./hand-over-parts");
  await catalogue.also(loaded.WORDS);
  return loaded;
});

export function HandOver() {
  const loaded = parts.use();
  return loaded ? <loaded.HandOver /> : <LaterScreen parts={parts} title={text("phone-app")} />;
}
