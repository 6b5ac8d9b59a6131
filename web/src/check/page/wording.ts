/** What a statement is called, what its values are called, and by which words pages print it. */

import { money } from "../../app/text/formats";
import type { Grade } from "../../shared/contract";
import { MARK_OF_GRADE, MARK_WORD } from "../../shared/marks";
import type { Wordings } from "../judge/printed";
import type { Statement, StatementValue } from "../judge/statements";
import { shared, text } from "./words";

const DRIVES = ["drive", "limits", "trailer", "not_cleared"];
const BUYS = ["buy", "up_to", "not_until", "walk", "too_little"] as const;

/** The areas by id: what they are called, and where in a report they come. */
export type Areas = ReadonlyMap<string, { title: string; order: number }>;

function code(value: string): string {
  return value.replaceAll("_", "-");
}

export function statementTitle({ kind, of }: Statement, areas: Areas): string {
  if (kind === "area") return areas.get(of)?.title ?? of;
  if (kind === "grade") return text("check-statement-grade", { grade: gradeText(of as Grade) });
  // what nobody looked at is a state of a check, and bears its word
  return kind === "unseen" ? shared(MARK_WORD.not_checked) : text(`check-statement-${kind}`);
}

function gradeText(grade: Grade | null): string {
  return shared(MARK_WORD[grade === null ? "open" : MARK_OF_GRADE[grade]]);
}

export function valueText({ kind }: Statement, value: StatementValue): string {
  if (value === null) return text("check-says-nothing");
  if (typeof value === "number") return String(value);
  if (typeof value === "object" && "amount" in value) return money(value.amount, value.currency);
  if (typeof value === "object") {
    const { worst, done, total } = value;
    return text("check-area-value", { grade: gradeText(worst), done, total });
  }
  if (kind === "drive" && DRIVES.includes(value)) return shared(`drive-${code(value)}`);
  const buy = BUYS.find((one) => one === value);
  return buy === undefined ? text("check-says-nothing") : text(buyId(buy));
}

function buyId(buy: (typeof BUYS)[number]) {
  const ids = {
    buy: "check-buy-buy",
    up_to: "check-buy-up-to",
    not_until: "check-buy-not-until",
    walk: "check-buy-walk",
    too_little: "check-buy-too-little",
  } as const;
  return ids[buy];
}

/** Null for what no page prints in words that could be told from others: an area has figures. */
export function wordingsOf({ kind }: Statement, value: StatementValue): Wordings | null {
  if (kind === "drive") {
    const said = (answer: string) => [
      shared(`judge-drive-${code(answer)}`),
      shared(`drive-${code(answer)}`),
    ];
    return alternatives(said, DRIVES, String(value));
  }
  if (kind === "price" && typeof value === "object" && value !== null && "amount" in value) {
    return { label: "", expected: [money(value.amount, value.currency)], others: [] };
  }
  return null;
}

function alternatives(
  said: (value: string) => string[],
  values: readonly string[],
  value: string,
): Wordings {
  const others = values.filter((one) => one !== value).flatMap(said);
  return { label: "", expected: said(value), others };
}
