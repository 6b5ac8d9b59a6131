/** What the list is narrowed to: each choice says how many checks it would leave. */

import type { Item } from "../../../shared/contract";
import { ChoiceButtons, ToggleButtons } from "../../components/controls/choice-buttons";
import { catalogue, text } from "../../text/catalogue";
import { gradeName } from "../../text/names";
import { type Narrowed, type Narrowing, STATES, type State } from "../../visit/find/narrowing";
import type { Visit } from "../../visit/visit";

interface Props {
  visit: Visit;
  by: Narrowing;
  shown: Narrowed;
  /** The checks that are narrowed. */
  pool: Item[];
  onTurn: (change: Partial<Narrowing>) => void;
}

function chip(title: string, count: number): string {
  return text("phone-find-chip", { title, count });
}

/** What stands beside a check's mark where it has one. */
function titleOf(state: State): string {
  if (state === "left") return gradeName(null);
  return state === "uninspected" ? gradeName(state) : catalogue.find(`phone-find-${state}`);
}

function Places({
  id,
  label,
  any,
  list,
  chosen,
  count,
  onChoose,
}: {
  id: string;
  label: string;
  any: string;
  list: { id: string; title: string }[];
  chosen: string;
  count: (id: string) => number;
  onChoose: (id: string) => void;
}) {
  const counted = list.map((one) => ({ ...one, count: count(one.id) }));
  return (
    <div class="field">
      <select
        id={id}
        aria-label={label}
        value={chosen}
        onChange={(event) => onChoose(event.currentTarget.value)}
      >
        <option value="">{chip(any, count(""))}</option>
        {counted
          .filter((one) => one.count > 0 || one.id === chosen)
          .map((one) => (
            <option key={one.id} value={one.id}>
              {chip(one.title, one.count)}
            </option>
          ))}
      </select>
    </div>
  );
}

export function Filters({ visit, by, shown, pool, onTurn }: Props) {
  const countOf = (change: Partial<Narrowing>) => shown.of(pool, change).length;
  // a choice that leaves nothing only takes room, unless it is the one that was made
  const states = STATES.map((id) => ({ id, count: countOf({ state: id }) }))
    .filter(({ id, count }) => count > 0 || id === by.state)
    .map(({ id, count }) => ({ id, title: chip(titleOf(id), count) }));
  const safety = chip(text("phone-find-safety"), countOf({ safety: true }));
  return (
    <div class="find-filters">
      <ChoiceButtons
        className="chips"
        label={text("phone-find-shows")}
        options={states}
        chosen={by.state}
        onChoose={(id) => onTurn({ state: id as State })}
      />
      <ToggleButtons
        className="chips"
        label={text("phone-find-safety")}
        options={[{ id: "safety", title: safety }]}
        pressed={by.safety ? ["safety"] : []}
        onToggle={() => onTurn({ safety: !by.safety })}
      />
      <div class="find-places">
        <Places
          id="find-area"
          label={text("phone-find-area")}
          any={text("phone-find-any-area")}
          list={visit.bundle.areas}
          chosen={by.area}
          count={(area) => countOf({ area })}
          onChoose={(area) => onTurn({ area })}
        />
        <Places
          id="find-stage"
          label={text("phone-find-stage")}
          any={text("phone-find-any-stage")}
          list={visit.bundle.stages}
          chosen={by.stage}
          count={(stage) => countOf({ stage })}
          onChoose={(stage) => onTurn({ stage })}
        />
      </div>
    </div>
  );
}
