/** The wires of an item come when a card that has them is shown: no start waits for them. */

import { signal } from "@preact/signals";
import { useEffect } from "preact/hooks";
import type { Item, ItemJudgment } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

type Parts = typeof import("./wires-parts");

const parts = signal<Parts | null>(null);
const failed = signal(false);

function fetchParts(): void {
  failed.value = false;
  import("./wires-parts").then(
    (loaded) => {
      parts.value = loaded;
    },
    () => {
      failed.value = true;
    },
  );
}

export function Wires(props: { visit: Visit; item: Item; judged: ItemJudgment | undefined }) {
  useEffect(() => {
    if (parts.peek() === null) fetchParts();
  }, []);
  if (parts.value !== null) return <parts.value.Wires {...props} />;
  if (!failed.value) return null;
  return (
    <button type="button" class="more" onClick={fetchParts}>
      {text("phone-wires")}: {text("phone-alarm-again")}
    </button>
  );
}
