/** The load list: what to take for this car's checks and its story, ticked or left at home. */

import type { LoadLine } from "../../../../shared/contract";
import { ChoiceButtons } from "../../../components/controls/choice-buttons";
import { TextField } from "../../../components/controls/text-field";
import { catalogue, text } from "../../../text/catalogue";
import { say } from "../../../text/say";
import { useAssessment } from "../../../visit/use-assessment";
import type { Visit } from "../../../visit/visit";
import { itemAddress, titleOf } from "../../decision/item-links";
import { useLoad } from "./use-going";

const STATES = { packed: "before-load-packed", left: "before-load-left" } as const;

function titleOfLine(visit: Visit, { id, tool }: LoadLine): string {
  if (tool) return catalogue.find(`judge-tool-${id}`);
  return visit.bundle.load?.find((row) => row.id === id)?.title ?? id;
}

function Line({ visit, line }: { visit: Visit; line: LoadLine }) {
  const title = titleOfLine(visit, line);
  const row = line.tool ? undefined : visit.bundle.load?.find(({ id }) => id === line.id);
  const pattern = visit.text("car/bolt_pattern");
  return (
    <li class="load" data-load={line.id} data-state={line.state}>
      <p class="load-title">{title}</p>
      <p class="hint">
        {[...line.because.map((said) => say(said, visit.bundle.rules)), row?.why ?? ""]
          .filter(Boolean)
          .join(" ")}
      </p>
      {line.id === "wheels" && (
        <TextField
          id="bolt-pattern"
          label={text("before-load-pattern")}
          value={pattern}
          onRecord={(typed) =>
            void visit.put(
              [{ put: "car/bolt_pattern", value: typed.trim() || null }],
              text("phone-item-recorded", { title: text("before-load-pattern"), answer: typed }),
            )
          }
        />
      )}
      <ChoiceButtons
        className="chips"
        label={title}
        options={(["packed", "left"] as const).map((id) => ({ id, title: text(STATES[id]) }))}
        chosen={line.state}
        onChoose={(id) =>
          void visit.put(
            [{ put: `load/${line.id}`, value: line.state === id ? null : id }],
            text("phone-item-recorded", { title, answer: text(STATES[id as "packed" | "left"]) }),
          )
        }
      />
      {line.state === "left" && line.items.length > 0 && (
        <details>
          <summary>{text("before-load-lacking", { count: line.items.length })}</summary>
          <ul class="lookup-checks">
            {line.items.map((item) => (
              <li key={item}>
                <a href={itemAddress(visit, item)}>{titleOf(visit, item)}</a>
              </li>
            ))}
          </ul>
        </details>
      )}
    </li>
  );
}

export function LoadList({ visit }: { visit: Visit }) {
  useAssessment(visit);
  const lines = useLoad(visit);
  if (visit.bundle.load === undefined) return <p class="hint">{text("before-older-checklist")}</p>;
  if (lines === null) return <p role="status">{text("phone-walk-opening")}</p>;
  const done = lines.filter(({ state }) => state === "packed").length;
  const groups = [
    ["before-load-story", lines.filter(({ tool }) => !tool)],
    ["before-load-tools", lines.filter(({ tool }) => tool)],
  ] as const;
  return (
    <>
      <p class="hint">{text("before-load-hint")}</p>
      <p role="status">{text("before-load-so-far", { done, of: lines.length })}</p>
      {groups.map(([title, own]) => (
        <section key={title} aria-label={text(title)}>
          <h2>{text(title)}</h2>
          <ul class="loads">
            {own.map((line) => (
              <Line key={line.id} visit={visit} line={line} />
            ))}
          </ul>
        </section>
      ))}
    </>
  );
}
