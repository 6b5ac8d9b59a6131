/** The main statements of a report: as an assessment has them, and two of them compared. */

import type { Assessment, Fault, Grade, Said, SaidArgument } from "../../shared/contract";

export type StatementKind = "drive" | "buy" | "price" | "grade" | "unseen" | "area";

/** One statement; `of` is the grade or the area that it is about. */
export interface Statement {
  kind: StatementKind;
  of: string;
  value: StatementValue;
}

export type StatementValue =
  | string
  | number
  | null
  | { amount: number; currency: string }
  | { worst: Grade | null; done: number; total: number };

const GRAVEST_FIRST: Fault[] = ["dangerous", "major", "minor"];

/** What of a judgment an edition may have: one without money has neither decision nor price. */
export type Judged = Pick<Assessment, "areas" | "items" | "findings" | "drive_home"> &
  Partial<Pick<Assessment, "decision" | "money">>;

/** The statements of a judgment; those that it does not have are missing. */
export function statementsOf(judged: Judged): Statement[] {
  const statements: Statement[] = [];
  const add = (kind: StatementKind, of: string, value: StatementValue | undefined) => {
    if (value !== undefined) statements.push({ kind, of, value });
  };
  add("buy", "", judged.decision?.buy);
  add("drive", "", judged.drive_home?.answer);
  add("price", "", topPrice(judged));
  for (const fault of GRAVEST_FIRST) {
    add("grade", fault, judged.findings.filter((id) => judged.items[id]?.grade === fault).length);
  }
  add(
    "unseen",
    "",
    judged.areas.reduce((sum, { open, uninspected }) => sum + open + uninspected, 0),
  );
  for (const { area, worst, done, total } of judged.areas) {
    add("area", area, { worst, done, total });
  }
  return statements;
}

/** The price that the car is worth at most, as the decision says it; undefined where none is. */
function topPrice({ decision }: Judged): StatementValue | undefined {
  for (const { said } of decision?.spoken ?? []) {
    const top = argumentOf(said, "top");
    if (typeof top === "object" && "money" in top) {
      return { amount: top.money, currency: top.currency };
    }
  }
  return undefined;
}

function argumentOf(said: Said, name: string): SaidArgument | undefined {
  return said.args?.[name] ?? said.then?.map((one) => argumentOf(one, name)).find(Boolean);
}

/** Whether two values of one statement say the same. */
export function isSameValue(one: StatementValue, other: StatementValue): boolean {
  const parts = (value: StatementValue) =>
    typeof value === "object" && value !== null
      ? Object.entries(value).sort(([a], [b]) => (a < b ? -1 : 1))
      : value;
  return JSON.stringify(parts(one)) === JSON.stringify(parts(other));
}
