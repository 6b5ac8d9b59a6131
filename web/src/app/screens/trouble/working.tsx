/** The figures behind the words: how often each cause happens, and what each result did to it. */

import { text } from "../../text/catalogue";
import { decimal } from "../../text/measures";
import { withUnit } from "../../text/names";
import { nameOf } from "./causes";
import { type Shown, testOf } from "./complaint";
import { outcomeOf } from "./known";

function tenths(share: number): string {
  return withUnit(decimal(`${Math.floor(share / 10)}.${share % 10}`), "%");
}

export function Working({ visit, shown, seen }: Shown) {
  const counted = seen.causes.filter(({ standing }) => standing !== "ruled_out");
  const outcomes = new Map(seen.known.map(({ test, outcome }) => [test, outcome]));
  return (
    <details class="trouble-working">
      <summary>{text("trouble-how")}</summary>
      <p class="hint">{text("trouble-how-why")}</p>
      <ul class="rows">
        {counted.map((cause) => (
          <li key={cause.id} class="trouble-known">
            <strong>
              {text("trouble-how-row", {
                cause: nameOf(visit, cause),
                before: tenths(cause.before),
                now: tenths(cause.tenths),
              })}
            </strong>
            {cause.factors.map(({ test, percent }) => (
              <span key={test} class="hint">
                {text("trouble-how-step", {
                  test: testOf(shown, test)?.title ?? test,
                  outcome: outcomeOf(shown, test, outcomes.get(test) ?? ""),
                  percent: withUnit(String(percent), "%"),
                })}
              </span>
            ))}
          </li>
        ))}
      </ul>
    </details>
  );
}
