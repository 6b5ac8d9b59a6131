/** A line of one's own: a sentence that a tap answers, or a reason to leave that a check or a figure tells. */

import { useId, useState } from "preact/hooks";
import { FAULTS, type Fault, type WantSide } from "../../../../shared/contract";
import type { Json } from "../../../../shared/event";
import { ChoiceButtons } from "../../../components/controls/choice-buttons";
import { text } from "../../../text/catalogue";
import { money } from "../../../text/formats";
import { firstUnit } from "../../../text/measures";
import { gradeName, withUnit } from "../../../text/names";
import { region } from "../../../text/region";
import { amounts } from "../../../text/typed";
import { addOwn, type Want } from "../../../visit/before/purpose/wants";
import type { Visit } from "../../../visit/visit";
import { CheckSearch } from "../../capture/check-search";
import { titleOf } from "../../decision/item-links";

type Tells = { check?: Json; figure?: Json };

const KINDS = ["so", "check", "asking", "work", "odometer"] as const;
type Kind = (typeof KINDS)[number];
const KIND_WORDS = {
  so: "purpose-tells-so",
  check: "purpose-tells-check",
  asking: "purpose-tells-asking",
  work: "purpose-tells-work",
  odometer: "purpose-tells-odometer",
} as const;

/** A line that is typed and kept by a button beside it. */
function Line({
  label,
  value,
  onType,
  inputMode = "text",
  problem,
}: {
  label: string;
  value: string;
  onType: (typed: string) => void;
  inputMode?: "text" | "decimal";
  problem: string | null;
}) {
  const id = useId();
  return (
    <div class="field">
      <label for={id}>{label}</label>
      {problem !== null && (
        <p class="wrong" role="alert">
          {problem}
        </p>
      )}
      <input
        id={id}
        type="text"
        inputMode={inputMode}
        autocomplete="off"
        value={value}
        onInput={({ currentTarget }) => onType(currentTarget.value)}
      />
    </div>
  );
}

/** The check that tells, and from which grade on. */
function CheckThatTells({ visit, onAdd }: { visit: Visit; onAdd: (tells: Tells) => void }) {
  const [item, setItem] = useState<string | null>(null);
  if (item === null) return <CheckSearch visit={visit} near={{}} onChoose={setItem} />;
  return (
    <>
      <p>{text("purpose-from-grade", { check: titleOf(visit, item) })}</p>
      <ChoiceButtons
        className="answers"
        label={text("purpose-from-grade", { check: titleOf(visit, item) })}
        options={FAULTS.map((id) => ({ id, title: gradeName(id) }))}
        chosen={null}
        onChoose={(at_least) => onAdd({ check: { item, at_least: at_least as Fault } })}
      />
    </>
  );
}

/** The most that a price, the work or the miles may come to. */
function FigureThatTells({
  visit,
  of,
  onAdd,
}: {
  visit: Visit;
  of: "asking" | "work" | "odometer";
  onAdd: (tells: Tells) => void;
}) {
  const [typed, setTyped] = useState("");
  const [isUnread, setUnread] = useState(false);
  const unit = firstUnit(["km", "mi"]);
  const shown = (amount: number) =>
    of === "odometer"
      ? withUnit(String(amount), unit)
      : money(amount, visit.text("about/currency"));
  const add = () => {
    const [amount] = amounts(typed, region.value);
    setUnread(amount === undefined);
    if (amount === undefined) return;
    const above = Math.round(Number(amount));
    onAdd({ figure: of === "odometer" ? { of, above, unit } : { of, above } });
  };
  return (
    <>
      <Line
        label={text("purpose-most", { of: text(KIND_WORDS[of]) })}
        inputMode="decimal"
        value={typed}
        problem={
          isUnread
            ? text("purpose-most-unread", { example: shown(of === "odometer" ? 150000 : 4000) })
            : null
        }
        onType={setTyped}
      />
      <button type="button" onClick={add}>
        {text("purpose-add")}
      </button>
    </>
  );
}

export function OwnLine({ visit, wants, side }: { visit: Visit; wants: Want[]; side: WantSide }) {
  const [words, setWords] = useState("");
  const [kind, setKind] = useState<Kind>("so");
  const [isEmpty, setEmpty] = useState(false);
  const [added, setAdded] = useState(0);
  const add = async (tells: Tells) => {
    const said = words.trim();
    const isBare = said === "" && Object.keys(tells).length === 0;
    setEmpty(isBare);
    if (isBare) return;
    const told = text("purpose-noted", { want: said || text(KIND_WORDS[kind]) });
    if (!(await visit.put(addOwn(wants, side, said, tells), told))) return;
    setWords("");
    setKind("so");
    setAdded(added + 1);
  };
  return (
    <details key={added}>
      <summary>{text("purpose-own")}</summary>
      <Line
        label={text(side === "must" ? "purpose-own-must" : "purpose-own-leave")}
        value={words}
        problem={isEmpty ? text("purpose-own-empty") : null}
        onType={setWords}
      />
      {side === "leave" && (
        <>
          <p class="chips-title">{text("purpose-tells")}</p>
          <ChoiceButtons
            className="answers"
            label={text("purpose-tells")}
            options={KINDS.map((id) => ({ id, title: text(KIND_WORDS[id]) }))}
            chosen={kind}
            onChoose={(id) => setKind(id as Kind)}
          />
        </>
      )}
      {kind === "so" && (
        <button type="button" onClick={() => void add({})}>
          {text("purpose-add")}
        </button>
      )}
      {kind === "check" && <CheckThatTells visit={visit} onAdd={(tells) => void add(tells)} />}
      {kind !== "so" && kind !== "check" && (
        <FigureThatTells visit={visit} of={kind} onAdd={(tells) => void add(tells)} />
      )}
    </details>
  );
}
