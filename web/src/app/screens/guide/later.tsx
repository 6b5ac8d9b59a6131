/** The first look comes when somebody wants it; it lies on the phone before. */

import { LaterScreen } from "../../components/frame/later-screen";
import { lazyParts } from "../../state/lazy-parts";
import { text } from "../../text/catalogue";

const parts = lazyParts(() => import("./guide-parts"));

export function Guide() {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.Guide />;
  return <LaterScreen parts={parts} title={text("phone-guide-title")} />;
}
