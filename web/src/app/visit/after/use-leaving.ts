/** What the judge makes of the bargain, and of earlier visits to the same car. */

import { useEffect, useState } from "preact/hooks";
import type { Again, Assessment, Closing, Leaving } from "../../../shared/contract";
import type { Graded } from "../../../shared/judge-messages";
import { JudgeProblem } from "../../device/judge";
import { today } from "../../device/local-time";
import { textIn } from "../items/item-record";
import { shelfOf } from "../shelf";
import { useAssessment } from "../use-assessment";
import type { Visit } from "../visit";
import { loadVisit } from "../visits";

/** What a question to the judge gives; the last answer stands until the next, null before it. */
function useAnswer<A>(visit: Visit, ask: () => Promise<A>, of: readonly unknown[]): A | null {
  const [found, setFound] = useState<A | null>(null);
  useEffect(() => {
    let isLatest = true;
    const { forVisit } = visit.services.judges;
    forVisit
      .withRules(visit.bundle)
      .then(() => forVisit.withTrouble())
      .then(ask)
      .then(
        (answer) => isLatest && setFound(answer),
        (problem) => {
          if (!(problem instanceof JudgeProblem)) throw problem;
          visit.services.judges.problem.value = problem.said;
        },
      );
    return () => {
      isLatest = false;
    };
  }, [visit, ...of]);
  return found;
}

export function useLeaving(visit: Visit, assessment: Assessment | null): Leaving | null {
  const cells = visit.besideItems();
  const price = assessment?.money.price;
  return useAnswer(
    visit,
    async () =>
      (
        await visit.services.judges.forVisit.ask({
          ask: "leaving",
          cells,
          arguments: price?.arguments ?? [],
          top: price?.walk_away ?? null,
          opening: price?.opening ?? null,
        })
      ).leaving,
    [cells, price],
  );
}

export function useClosing(visit: Visit): Closing | null {
  const cells = visit.besideItems();
  const rules = visit.bundle.closing ?? [];
  const ask = async () => {
    const { forVisit } = visit.services.judges;
    return (await forVisit.ask({ ask: "closing", closing: rules, cells, today: today() })).closing;
  };
  return useAnswer(visit, ask, [cells]);
}

/** The visits to the same car that this phone has from before this one, the latest first. */
export function useEarlier(visit: Visit): Visit[] | null {
  const vin = visit.text("car/vin");
  const { services } = visit;
  const ask = async () => {
    if (vin.trim() === "") return [];
    const { rows } = services.log;
    const began = visit.cells.peek()["about/started"]?.at ?? "";
    const kept = await Promise.all(
      (await rows.visitsHere()).map(async (row) => ({
        visit: row.visit,
        cells: await rows.cellsOf(row.visit),
      })),
    );
    const before = kept
      .filter(({ visit: id, cells }) => id !== visit.id && shelfOf(cells) !== "deleted")
      .map(({ visit: id, cells }) => ({
        ...{ visit: id, vin: textIn(cells, "car/vin") },
        at: cells["about/started"]?.at ?? "",
      }))
      .filter((row) => row.vin !== "" && row.at < began)
      .sort((a, b) => (a.at < b.at ? 1 : -1));
    const { visits } = await services.judges.forVisit.ask({
      ask: "same_car",
      vin,
      visits: before.map(({ visit: id, vin: typed }) => ({ visit: id, vin: typed })),
    });
    return Promise.all(visits.map((id) => loadVisit(services, id)));
  };
  return useAnswer(visit, ask, [vin]);
}

/** Grades of what was answered, by item. */
function graded(assessment: Assessment): Graded {
  return Object.fromEntries(
    Object.entries(assessment.items).flatMap(([item, { grade, state }]) =>
      grade === null || state === "open" ? [] : [[item, grade]],
    ),
  );
}

/** An earlier visit beside this one; null until both are judged. */
export function useAgain(visit: Visit, earlier: Visit): Again | null {
  const [then, now] = [useAssessment(earlier), useAssessment(visit)];
  const cells = visit.besideItems();
  return useAnswer(visit, async () => {
    if (then === null || now === null) return null;
    const { again } = await visit.services.judges.forVisit.ask({
      ask: "again",
      earlier: earlier.besideItems(),
      now: cells,
      graded_earlier: graded(then),
      graded_now: graded(now),
    });
    return again;
  }, [earlier, then, now, cells]);
}
