/** What claims are called, and what a tap makes of one. */

import { text } from "../../text/catalogue";
import { type Claim, claimsOf, type Standing } from "../../visit/offer/claims";
import type { Visit } from "../../visit/visit";
import { kindTitle } from "./use-spotted";

export const STATES = {
  claimed: "claims-state-claimed",
  seen: "claims-state-seen",
  proven: "claims-state-proven",
  false: "claims-state-false",
} as const satisfies Record<Standing, string>;

export function claimsIn(visit: Visit): Claim[] {
  return claimsOf(visit.besideItems());
}

export function claimTitle(visit: Visit, claim: Claim): string {
  return claim.kind === "" ? claim.words : kindTitle(visit, claim.kind);
}

export function settle(visit: Visit, claim: Claim, to: Standing): void {
  const told = { claim: claimTitle(visit, claim), state: text(STATES[to]) };
  void visit.put(
    [{ put: `claims/${claim.id}/state`, value: { state: to } }],
    text("claims-marked", told),
  );
}
