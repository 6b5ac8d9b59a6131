/** Every visit of this phone as a line of a list: what it is called and how it stands. */

import type { Assessment } from "../../shared/contract";
import { JudgeProblem } from "../device/judge";
import { catalogue, text } from "../text/catalogue";
import { readableDay } from "../text/formats";
import { carNameOf, DEVICE_FROM, textIn } from "./items/item-record";
import { isSigned, type Shelf, shelfOf } from "./shelf";
import { driveNow, foundLine } from "./standing";
import type { VisitServices } from "./visit";

/** A visit as one row of a list. */
export interface VisitLine {
  visit: string;
  name: string;
  detail: string;
  /** How many checks are without an answer; null while nobody worked that out. */
  open: number | null;
  isSealed: boolean;
  shelf: Shelf;
  /** After work with proof: may it be driven, and what was answered at the inspection. */
  now: { drive: string; found: string } | null;
}

type Services = Pick<VisitServices, "log" | "store">;

/** The line of a visit; null for one that another phone began and left at that. */
async function lineOf(
  { log, store }: Services,
  visit: string,
  first: number,
): Promise<VisitLine | null> {
  const cells = await log.rows.cellsOf(visit);
  const shelf = shelfOf(cells);
  const own = await log.identity.get();
  const beginner = cells["about/started"]?.at.slice(DEVICE_FROM);
  if (shelf === "empty" && beginner !== own.device) return null;
  const row = await store.run((database) => database.get("assessments", visit));
  const assessment: Assessment | undefined = row?.assessment;
  const about = [textIn(cells, "car/registration"), textIn(cells, "about/place")];
  return {
    visit,
    name: carNameOf((put) => textIn(cells, put)),
    detail: [...about, text("phone-cars-started", { date: readableDay(first) })]
      .filter((part) => part !== "")
      .join(" · "),
    open: assessment?.areas?.reduce((sum, area) => sum + area.open, 0) ?? null,
    isSealed: isSigned(cells),
    shelf,
    now:
      assessment?.now === undefined
        ? null
        : {
            drive: catalogue.find(`drive-${driveNow(assessment).answer.replaceAll("_", "-")}`),
            found: foundLine(assessment, cells["about/started"]?.value ?? null),
          },
  };
}

/** All lines, the last written first. */
export async function visitLines(services: Services): Promise<VisitLine[]> {
  const rows = await services.log.rows.visitsHere();
  const lines = await Promise.all(rows.map(({ visit, first }) => lineOf(services, visit, first)));
  return lines.filter((line) => line !== null);
}

/** The lines; once more for each visit that has no name until what others wrote is folded. */
export async function readLines(
  services: Pick<VisitServices, "log" | "store" | "bundles">,
  show: (lines: VisitLine[]) => void,
): Promise<void> {
  show(await visitLines(services));
  for (const { visit } of await services.log.rows.visitsHere()) {
    const folded = await services.bundles.foldFromOthers(visit).catch((problem) => {
      if (problem instanceof JudgeProblem) return 0;
      throw problem;
    });
    if (folded > 0) show(await visitLines(services));
  }
}
