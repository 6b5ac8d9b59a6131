/** Beside a stage of the walk: whose it is and how far, and one tap that takes it or gives it back. */

import { text } from "../../text/catalogue";
import { heldStages, takingChange } from "../../visit/together/stages-taken";
import { togetherOf } from "../../visit/together/together";
import type { Visit } from "../../visit/visit";
import type { Page } from "../../visit/walk-order";

export function StageTaken({ visit, page }: { visit: Visit; page: Page }) {
  const together = togetherOf(visit);
  const people = together.people.value;
  if (people === null || !together.isTwo || visit.seals().length > 0) return null;
  const [held] = heldStages(visit, people, [page]);
  // what is done is nobody's to take
  if (held === undefined && page.open.length === 0) return null;
  const act = held === undefined ? "take" : held.isOwn ? "hand-back" : "take-over";
  const stage = page.title;
  const told = act === "hand-back" ? "together-handed-back" : "together-took";
  return (
    <button
      type="button"
      class="take"
      data-taken={held === undefined ? "" : held.isOwn ? "mine" : "theirs"}
      aria-label={text(`together-${act}-which`, { stage })}
      onClick={() =>
        void visit.put([takingChange(page.id, act !== "hand-back")], text(told, { stage }))
      }
    >
      {held !== undefined && (
        <span class="take-who">
          {text("together-far", { who: held.who, done: held.done, total: held.total })}
        </span>
      )}
      <span>{text(`together-${act}`)}</span>
    </button>
  );
}
