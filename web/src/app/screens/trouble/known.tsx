/** What is known already, with who and when; what is ruled out and why; what is passed over. */

import { useEffect, useState } from "preact/hooks";
import type { Symptom, TestKnown } from "../../../shared/contract";
import { log, preferences } from "../../state/this-page";
import { catalogue, text } from "../../text/catalogue";
import { listed, readable } from "../../text/formats";
import { say } from "../../text/say";
import { itemAddress } from "../decision/item-links";
import { nameOf } from "./causes";
import { type Shown, testOf } from "./complaint";
import { toolName } from "./tests";

/** Of a stamp: where its device begins. */
const DEVICE_FROM = 22;

/** Who wrote at a stamp, and when. */
export function useAuthor(): (at: string) => { who: string; when: string } {
  const [own, setOwn] = useState("");
  useEffect(() => {
    void log.identity.get().then(({ device }) => setOwn(device));
  }, []);
  return (at) => {
    const isOwn = at.slice(DEVICE_FROM) === own;
    const mine = preferences.value.inspector || text("trouble-this-device");
    const ms = Number(at.slice(0, 15));
    return {
      who: isOwn || at === "" ? mine : text("trouble-another-device"),
      when: Number.isFinite(ms) && ms > 0 ? readable(ms) : "",
    };
  };
}

export function outcomeOf(symptom: Symptom, test: string, outcome: string): string {
  const found = testOf(symptom, test)?.outcomes.find(({ id }) => id === outcome);
  return found?.title ?? outcome;
}

export function Known({ visit, shown, seen }: Shown) {
  const author = useAuthor();
  if (seen.known.length === 0) return null;
  const { rules } = visit.bundle;
  const source = ({ said, at }: TestKnown) => {
    const by = author(at);
    if (said === undefined) return text("trouble-from-person", by);
    return text("trouble-from-record", { said: say(said, rules), ...by });
  };
  return (
    <section aria-label={text("trouble-known")}>
      <h2>{text("trouble-known")}</h2>
      <ul class="rows">
        {seen.known.map((row) => {
          const outcome = outcomeOf(shown, row.test, row.outcome);
          const title = testOf(shown, row.test)?.title ?? row.test;
          const put = `trouble/${shown.id}/tests/${row.test}`;
          return (
            <li key={row.test} class="trouble-known" data-known={row.test}>
              <strong>{text("trouble-known-line", { test: title, outcome })}</strong>
              <span class="hint">{source(row)}</span>
              {row.other !== undefined && (
                <span class="wrong">
                  {text("trouble-disagrees", {
                    said: say(row.other.said, rules),
                    outcome: outcomeOf(shown, row.test, row.other.outcome),
                  })}
                </span>
              )}
              {row.by === "person" ? (
                <button
                  type="button"
                  class="link"
                  onClick={() => void visit.put([{ put, value: null }], text("trouble-take-back"))}
                >
                  {text("trouble-take-back")}
                </button>
              ) : (
                <a class="trouble-change" href={itemAddress(visit, row.item ?? "")}>
                  {text("phone-change")}
                </a>
              )}
            </li>
          );
        })}
      </ul>
    </section>
  );
}

export function RuledOut({ visit, shown, seen }: Shown) {
  const author = useAuthor();
  const out = seen.causes.filter(({ standing }) => standing === "ruled_out");
  if (out.length === 0) return null;
  return (
    <section aria-label={text("trouble-out")}>
      <h2>{text("trouble-out")}</h2>
      <ul class="rows">
        {out.map((cause) => {
          const { by = "car", at = "", why = "" } = cause.ruled_out ?? {};
          const put = `trouble/${shown.id}/causes/${cause.id}`;
          return (
            <li key={cause.id} class="trouble-known" data-cause={cause.id}>
              <strong>{nameOf(visit, cause)}</strong>
              <span class="hint">
                {by === "car"
                  ? text("trouble-out-car")
                  : text("trouble-out-by", { why, ...author(at) })}
              </span>
              {by === "person" && (
                <button
                  type="button"
                  class="link"
                  onClick={() => void visit.put([{ put, value: null }], text("trouble-bring-back"))}
                >
                  {text("trouble-bring-back")}
                </button>
              )}
            </li>
          );
        })}
      </ul>
    </section>
  );
}

export function Passed({ visit, shown, seen }: Shown) {
  if (seen.passed.length === 0) return null;
  return (
    <details>
      <summary>
        {text("trouble-passed")} ({seen.passed.length})
      </summary>
      <ul class="rows">
        {seen.passed.map(({ id, why, tools }) => {
          const skipped = `trouble/${shown.id}/skipped/${id}`;
          return (
            <li key={id} class="trouble-known" data-passed={id}>
              <strong>{testOf(shown, id)?.title}</strong>
              <span class="hint">
                {why === "tool"
                  ? text("trouble-passed-tool", { tools: listed(tools.map(toolName)) })
                  : catalogue.find(`trouble-passed-${why}`)}
              </span>
              {why === "skipped" && (
                <button
                  type="button"
                  class="link"
                  onClick={() =>
                    void visit.put([{ put: skipped, value: null }], text("trouble-back"))
                  }
                >
                  {text("trouble-back")}
                </button>
              )}
              {tools.map((tool) => {
                const said = text("trouble-have", { tool: toolName(tool) });
                return (
                  <button
                    key={tool}
                    type="button"
                    class="link"
                    onClick={() =>
                      void visit.put([{ put: `trouble/tools/${tool}`, value: null }], said)
                    }
                  >
                    {said}
                  </button>
                );
              })}
            </li>
          );
        })}
      </ul>
    </details>
  );
}
