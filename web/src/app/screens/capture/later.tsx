/** What was captured and is to be sorted: a screen that is no part of a start. */

import { captureParts } from "../../components/capture/parts";
import { LaterScreen } from "../../components/frame/later-screen";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

export function Sort({ visit }: { visit: Visit }) {
  const loaded = captureParts.use();
  if (loaded !== null) return <loaded.SortScreen visit={visit} />;
  return <LaterScreen parts={captureParts} visit={visit} title={text("phone-capture")} />;
}
