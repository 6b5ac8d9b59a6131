/** How must-haves and reasons to leave stand, in two lines where one decides. */

import { address } from "../../../state/routes";
import { text } from "../../../text/catalogue";
import { judgedWants, wantsIn } from "../../../visit/before/purpose/wants";
import type { Visit } from "../../../visit/visit";
import { standingWord, wantTitle } from "./names";

import "./purpose.css";

const ORDER = ["against", "open", "fine"] as const;

export function Strip({ visit }: { visit: Visit }) {
  const judged = judgedWants(visit.assessment.value);
  const wants = wantsIn(visit.besideItems()).filter(({ id }) => judged.has(id));
  if (wants.length === 0) return null;
  const rows = ORDER.flatMap((standing) =>
    wants.flatMap((want) => {
      const row = judged.get(want.id);
      // of reasons to leave those that are not so need no line
      const isIdle = want.side === "leave" && standing !== "against";
      return row?.standing === standing && !isIdle ? [{ want, row }] : [];
    }),
  );
  const idle = wants.length - rows.length;
  return (
    <section class="want-strip" aria-label={text("phone-walk-purpose")}>
      <h2>{text("phone-walk-purpose")}</h2>
      <ul>
        {rows.map(({ want, row }) => (
          <li key={want.id} data-standing={row.standing}>
            <span class="want-title">{wantTitle(visit, want, row)}</span>
            <span class={`want-state want-${row.standing}`}>{standingWord(row)}</span>
          </li>
        ))}
      </ul>
      {idle > 0 && <p class="hint">{text("purpose-no-reason", { count: idle })}</p>}
      <a class="button" href={address({ screen: "purpose", visit: visit.id })}>
        {text("purpose-change")}
      </a>
    </section>
  );
}
