/** Renaming, archiving and deleting come when they are looked at; they lie on the phone before. */

import { LaterScreen } from "../../components/frame/later-screen";
import { lazyParts } from "../../state/lazy-parts";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

const parts = lazyParts(() => import("./shelf-parts"));

/** One car: its name in the list, and whether it stands there. */
export function Manage({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.Manage visit={visit} />;
  return <LaterScreen parts={parts} visit={visit} title={text("phone-shelf-title")} />;
}

/** What was archived and deleted on this phone or another. */
export function PutAway() {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.PutAway />;
  return <LaterScreen parts={parts} title={text("phone-shelf-away")} />;
}
