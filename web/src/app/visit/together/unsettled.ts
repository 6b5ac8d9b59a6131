/** What two phones have not settled between them: said before anybody signs. */

import type { SyncState } from "../../../store/exchange/sync";
import type { VisitView } from "../visit-view";
import type { Page } from "../walk-order";
import { type Conflict, conflictsOf } from "./conflicts";
import type { People } from "./people";
import { type Held, heldStages } from "./stages-taken";
import { clock, clockOf } from "./words";

export interface Unsettled {
  conflicts: Conflict[];
  /** Stages that somebody took and did not finish. */
  stages: Held[];
  /** Of each other phone, from when the last is that this one has of it. */
  heard: { who: string; when: string }[];
  /** When this phone last reached the server, where it does not reach it now; else null. */
  unreached: string | null;
}

export function unsettledOf(
  visit: VisitView,
  people: People,
  stages: Page[],
  sync: Pick<SyncState, "where" | "answered">,
): Unsettled {
  const isAlone = people.others.length === 0;
  const isOut = !isAlone && sync.where !== "server" && sync.answered > 0;
  return {
    // the desk, too, may have written unseen
    conflicts: conflictsOf(visit, people, null),
    stages: isAlone
      ? []
      : heldStages(visit, people, stages).filter(({ done, total }) => done < total),
    heard: people.others.map((phone) => ({
      who: people.nameOf(phone),
      when: clockOf(people.last.get(phone) ?? ""),
    })),
    unreached: isOut ? clock(sync.answered) : null,
  };
}

/** Whether there is anything to say. */
export function isSettled({ conflicts, stages, heard }: Unsettled): boolean {
  return conflicts.length + stages.length + heard.length === 0;
}
