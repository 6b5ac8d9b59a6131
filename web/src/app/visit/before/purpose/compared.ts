/** The cars of this phone beside one another, in the order of the judge's own figures. */

import type { Assessment, WantJudgment } from "../../../../shared/contract";
import type { Cells } from "../../../../shared/event";
import { argument } from "../../../text/say";
import type { VisitServices } from "../../visit";
import { type VisitLine, visitLines } from "../../visit-lines";
import { wantsIn } from "./wants";

type Services = Pick<VisitServices, "log" | "store" | "bundles">;

export interface ComparedWant extends Pick<WantJudgment, "id" | "side" | "standing"> {
  title: string;
}

export interface Compared {
  line: VisitLine;
  wants: ComparedWant[];
  rank: number[];
  money: Assessment["money"];
}

/** Where a rank is worse than another, by its figures; of two alike by money the last. */
export function worseAt(ahead: number[], behind: number[]): number {
  return behind.findIndex((figure, n) => figure > (ahead[n] ?? figure));
}

export function byRank(one: Compared, other: Compared): number {
  const at = one.rank.findIndex((figure, n) => figure !== other.rank[n]);
  if (at < 0) return one.line.visit < other.line.visit ? -1 : 1;
  return (one.rank[at] ?? 0) - (other.rank[at] ?? 0);
}

async function comparedOf(services: Services, line: VisitLine): Promise<Compared | null> {
  const row = await services.store.run((database) => database.get("assessments", line.visit));
  if (row?.assessment.rank === undefined) return null;
  const { rank, money, wants = [] } = row.assessment;
  const rules = await services.bundles.fetch(row.bundle).then(
    (bundle) => bundle.rules,
    () => undefined,
  );
  const named = wants.map(({ id, side, standing, title }) => ({
    ...{ id, side, standing },
    title: rules === undefined ? id : String(argument(title, rules)),
  }));
  return { line, rank, money, wants: named };
}

/** Every car on the list that was judged, the best first; and those that were not. */
export async function compared(
  services: Services,
): Promise<{ cars: Compared[]; others: VisitLine[] }> {
  const lines = (await visitLines(services)).filter(({ shelf }) => shelf === "");
  const all = await Promise.all(lines.map((line) => comparedOf(services, line)));
  const cars = all.filter((car) => car !== null).sort(byRank);
  return { cars, others: lines.filter((_, n) => all[n] === null) };
}

/** Other cars of this phone that have must-haves, with their records. */
export async function withWants(
  services: Services,
  but: string,
): Promise<{ name: string; visit: string; cells: Cells }[]> {
  const lines = (await visitLines(services)).filter((line) => line.visit !== but);
  const found = await Promise.all(
    lines.map(async ({ visit, name }) => ({
      ...{ visit, name },
      cells: await services.log.rows.cellsOf(visit),
    })),
  );
  return found.filter(({ cells }) => wantsIn(cells).length > 0);
}
