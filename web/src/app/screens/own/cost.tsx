/** What a repair would cost, as somebody on the spot takes it: one figure, or a range around it. */

import { useState } from "preact/hooks";
import type { Json } from "../../../shared/event";
import { TextField } from "../../components/controls/text-field";
import { text } from "../../text/catalogue";
import { money } from "../../text/formats";
import { region } from "../../text/region";
import { amounts } from "../../text/typed";
import type { Change, Visit } from "../../visit/visit";

type Costs = [number, number, number];

/** Low, likely and high as recorded; null for anything else. */
function recorded(value: Json): Costs | null {
  const isCosts =
    Array.isArray(value) && value.length === 3 && value.every((one) => typeof one === "number");
  return isCosts ? (value as Costs) : null;
}

export function Cost({
  visit,
  put,
  onRecord,
}: {
  visit: Visit;
  put: string;
  onRecord: (changes: Change[], said: string) => Promise<void>;
}) {
  const [wrong, setWrong] = useState<{ at: number; typed: string; why: string } | null>(null);
  const shown = (amount: number) => money(amount, visit.text("about/currency"));
  const costs = recorded(visit.value(put));
  const [low, likely, high] = costs ?? [];
  const isRange = costs !== null && low !== high;
  const write = (at: number, typed: string) => {
    const [amount] = amounts(typed, region.value);
    if (typed.trim() !== "" && amount === undefined) {
      setWrong({ at, typed, why: text("phone-facts-money-unread", { example: shown(350) }) });
      return;
    }
    const figure = amount === undefined ? null : Math.round(Number(amount));
    const next = changed(costs, at, figure);
    if (next !== null && !(next[0] <= next[1] && next[1] <= next[2])) {
      const [first, second, third] = next.map(shown) as [string, string, string];
      const why = text("own-cost-order", { low: first, likely: second, high: third });
      setWrong({ at, typed, why });
      return;
    }
    setWrong(null);
    const said = next === null ? text("own-no-cost") : [...new Set(next.map(shown))].join(" – ");
    void onRecord([{ put, value: next }], text("own-saved", { words: said }));
  };
  const field = (at: number, label: string, amount: number | undefined) => (
    <TextField
      id={`own-cost-${at}`}
      label={label}
      inputMode="decimal"
      value={wrong?.at === at ? wrong.typed : amount === undefined ? "" : shown(amount)}
      problem={wrong?.at === at ? wrong.why : null}
      onRecord={(typed) => write(at, typed)}
    />
  );
  return (
    <>
      {field(1, text("own-cost"), likely)}
      {costs !== null && (
        <details open={isRange}>
          <summary>{text("own-cost-range")}</summary>
          <div class="own-costs">
            {field(0, text("own-cost-low"), isRange ? low : undefined)}
            {field(2, text("own-cost-high"), isRange ? high : undefined)}
          </div>
        </details>
      )}
    </>
  );
}

/** The three figures with one of them typed anew; a firm figure moves its ends along. */
function changed(costs: Costs | null, at: number, figure: number | null): Costs | null {
  if (at === 1 && figure === null) return null;
  const [low, likely, high] = costs ?? [figure ?? 0, figure ?? 0, figure ?? 0];
  if (at === 1) {
    const middle = figure ?? likely;
    return [low === likely ? middle : low, middle, high === likely ? middle : high];
  }
  return at === 0 ? [figure ?? likely, likely, high] : [low, likely, figure ?? likely];
}
