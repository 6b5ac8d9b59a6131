/** The wires of an item come when a card that has them is shown: no start waits for them. */

import type { Item, ItemJudgment } from "../../../shared/contract";
import { lazyParts } from "../../state/lazy-parts";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

const parts = lazyParts(() => import("./wires-parts"));

export function Wires(props: { visit: Visit; item: Item; judged: ItemJudgment | undefined }) {
  const loaded = parts.use();
  if (loaded !== null) return <loaded.Wires {...props} />;
  if (!parts.failed.value) return null;
  return (
    <button type="button" class="more" onClick={parts.fetch}>
      {text("phone-wires")}: {text("phone-alarm-again")}
    </button>
  );
}
