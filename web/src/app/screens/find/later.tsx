/** Search and lists come when they are looked at; they lie on the phone before. */

import { LaterScreen } from "../../components/frame/later-screen";
import { lazyParts } from "../../state/lazy-parts";
import type { Found } from "../../state/routes";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

const parts = lazyParts(() => import("./find-parts"));

export function Find(props: { visit: Visit; at: string | null } & Found) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.FindScreen {...props} />;
  return <LaterScreen parts={parts} visit={props.visit} title={text("phone-find-title")} />;
}
