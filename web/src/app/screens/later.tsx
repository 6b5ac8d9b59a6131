/** Signing, pairing and storage: kept for the field like all else, and loaded when looked at. */

import { LaterScreen } from "../components/frame/later-screen";
import { lazyParts } from "../state/lazy-parts";
import { text } from "../text/catalogue";
import type { Visit } from "../visit/visit";

const parts = lazyParts(() => import("./later-parts"));

export function Sign({ visit }: { visit: Visit }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.Sign visit={visit} />;
  return <LaterScreen parts={parts} visit={visit} title={text("phone-sign-title")} />;
}

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
