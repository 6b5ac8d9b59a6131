/** Claims that checks have answered: one tap says what became of each. */

import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import { judgedClaims } from "../../visit/offer/claims";
import type { Visit } from "../../visit/visit";
import { claimsIn, claimTitle, settle } from "./settle";

import "./ad.css";

/** `items`: only those that one of these checks tells of; null for all. */
export function ToSettle({ visit, items }: { visit: Visit; items: readonly string[] | null }) {
  const judged = judgedClaims(visit.assessment.value);
  const open = claimsIn(visit).filter(({ id }) => {
    const row = judged.get(id);
    return (
      row?.suggests !== undefined && (items === null || row.items.some((i) => items.includes(i)))
    );
  });
  if (open.length === 0) return null;
  return (
    <section class="to-settle" aria-label={text("claims-settle")}>
      <h2 class="stage">{text("claims-settle")}</h2>
      <ul class="claims">
        {open.map((claim) => {
          const row = judged.get(claim.id);
          const to = row?.suggests;
          return (
            <li key={claim.id} class="claim" data-claim={claim.kind || claim.id}>
              <p class="claim-title">{claimTitle(visit, claim)}</p>
              {row !== undefined && <p class="hint">{say(row.said, visit.bundle.rules)}</p>}
              {to !== undefined && (
                <button type="button" onClick={() => settle(visit, claim, to)}>
                  {text(to === "false" ? "claims-mark-false" : "claims-mark-seen")}
                  <span class="visually-hidden">: {claimTitle(visit, claim)}</span>
                </button>
              )}
            </li>
          );
        })}
      </ul>
    </section>
  );
}
