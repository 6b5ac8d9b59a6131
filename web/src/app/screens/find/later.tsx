/** Search and lists come when they are looked at; they lie on the phone before. */

import { LaterScreen } from "../../components/frame/later-screen";
import { lazyParts } from "../../state/lazy-parts";
import type { Found } from "../../state/routes";
import { catalogue, text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

export const findParts = lazyParts(async () => {
  const loaded = await import("./find-parts");
  await catalogue.also(loaded.WORDS);
  return loaded;
});

export function Find(props: { visit: Visit; at: string | null } & Found) {
  const loaded = findParts.use();
  if (loaded !== null) return <loaded.FindScreen {...props} />;
  return <LaterScreen parts={findParts} visit={props.visit} title={text("phone-find-title")} />;
}
