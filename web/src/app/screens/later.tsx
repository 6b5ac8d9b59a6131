/** Pairing and storage: kept for the field like all else, and loaded when looked at. */

import { LaterScreen } from "../components/frame/later-screen";
import { lazyParts } from "../state/lazy-parts";
import { text } from "../text/catalogue";

const parts = lazyParts(() => import("./later-parts"));

export function Pair() {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.Pair />;
  return <LaterScreen parts={parts} title={text("phone-pair-title")} />;
}

export function Storage() {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.Storage />;
  return <LaterScreen parts={parts} title={text("phone-storage-title")} />;
}
