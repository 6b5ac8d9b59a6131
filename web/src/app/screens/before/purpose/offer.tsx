/** What the checklist offers: those for what the car is wanted for first, the rest folded. */

import type { WantRule, WantSide } from "../../../../shared/contract";
import { text } from "../../../text/catalogue";
import { listed } from "../../../text/formats";
import {
  addLeaves,
  addMusts,
  MOST_MUSTS,
  offered,
  type Want,
} from "../../../visit/before/purpose/wants";
import type { Visit } from "../../../visit/visit";

function Buttons({ rows, onTake }: { rows: WantRule[]; onTake: (rows: WantRule[]) => void }) {
  return (
    <ul class="want-offers">
      {rows.map((row) => (
        <li key={row.id}>
          <button type="button" data-offer={row.id} onClick={() => onTake([row])}>
            + {row.title}
          </button>
        </li>
      ))}
    </ul>
  );
}

export function Offer({ visit, wants, side }: { visit: Visit; wants: Want[]; side: WantSide }) {
  const taken = wants.filter((want) => want.side === side);
  const uses = visit.uses();
  const { fitting, others } = offered(visit.bundle.rules.wants ?? [], wants, side, uses);
  const take = (rows: WantRule[]) => {
    const ids = rows.map(({ id }) => id);
    void visit.put(
      side === "must" ? addMusts(taken, ids) : addLeaves(ids),
      text("purpose-noted", { want: listed(rows.map(({ title }) => title)) }),
    );
  };
  if (side === "must" && taken.length >= MOST_MUSTS) {
    return <p class="hint">{text("purpose-five")}</p>;
  }
  const first = fitting.slice(0, MOST_MUSTS);
  return (
    <>
      {uses.length === 0 && <p class="hint">{text("purpose-uses-first")}</p>}
      {taken.length === 0 && first.length > 1 && (
        <button type="button" class="main" onClick={() => take(first)}>
          {text(side === "must" ? "purpose-take-musts" : "purpose-take-leaves", {
            count: first.length,
          })}
        </button>
      )}
      <Buttons rows={fitting} onTake={take} />
      {others.length > 0 && (
        <details key={String(uses.length > 0)} open={uses.length === 0 && taken.length === 0}>
          <summary>{text("purpose-others")}</summary>
          <Buttons rows={others} onTake={take} />
        </details>
      )}
    </>
  );
}
