/** What comes when it is looked at: the body map with its outlines, which are no part of a start. */

import type { VNode } from "preact";
import { LaterScreen } from "../../components/frame/later-screen";
import { lazyParts } from "../../state/lazy-parts";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

const parts = lazyParts(() => import("./parts"));

export function BodyMap({ visit, place }: { visit: Visit; place: string | null }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.BodyMap visit={visit} place={place} />;
  const said = { title: text("phone-walk-map"), missing: text("phone-map-not-loaded") };
  return <LaterScreen parts={parts} visit={visit} {...said} />;
}

/** The eight pictures; until they are there, what stands in their place. */
export function StyleChoice({ visit, instead }: { visit: Visit; instead: VNode }) {
  const loaded = parts.use();
  return loaded === null ? instead : <loaded.StyleChoice visit={visit} />;
}
