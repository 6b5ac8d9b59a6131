/** Facts of the car and the day that are tapped among its details; every answer narrows the list. */

import { ChoiceButtons, ToggleButtons } from "../../components/controls/choice-buttons";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import { named } from "./fact-choices";

/** Facts that decide which items apply, by name, with the answers that each can have. */
const CAR_FACTS = {
  fuel: ["petrol", "diesel"],
  fuelling: ["injection", "carburettor"],
  front_brakes: ["disc", "drum"],
  rear_brakes: ["disc", "drum"],
  structure: ["unibody", "frame"],
  gearbox: ["manual", "automatic", "cvt", "dual-clutch"],
  drive: ["front", "rear", "all"],
  steering: ["rack", "box"],
  assist: ["power", "manual"],
  airbags: ["yes", "no"],
  catalyst: ["yes", "no"],
  aircon: ["yes", "no"],
};
const DEPTHS = ["usual", "thorough"];

/** The facts that decide which items apply, one group of buttons each. */
export function CarFactChoices({ visit }: { visit: Visit }) {
  return (
    <>
      {Object.entries(CAR_FACTS).map(([name, answers]) => {
        const put = `car/${name}`;
        const label = named("phone-fact-", name);
        const answer = (id: string) => named("phone-fact-", `${name}-${id}`);
        const value = visit.value(put);
        return (
          <div key={put} class="fact">
            <p class="fact-label">{label}</p>
            <ChoiceButtons
              label={label}
              options={answers.map((id) => ({ id, title: answer(id) }))}
              chosen={typeof value === "string" ? value : null}
              onChoose={(id) =>
                void visit.put(
                  [{ put, value: value === id ? null : id }],
                  text("phone-item-recorded", { title: label, answer: answer(id) }),
                )
              }
            />
          </div>
        );
      })}
    </>
  );
}

/** How thorough the visit is to be. */
export function Depth({ visit }: { visit: Visit }) {
  return (
    <div class="fact">
      <p class="fact-label">{text("phone-facts-depth")}</p>
      <ChoiceButtons
        label={text("phone-facts-depth")}
        options={DEPTHS.map((id) => ({ id, title: named("phone-facts-depth-", id) }))}
        chosen={visit.text("about/depth") || "usual"}
        onChoose={(id) =>
          void visit.put(
            [{ put: "about/depth", value: id }],
            text("phone-item-recorded", {
              title: text("phone-facts-depth"),
              answer: named("phone-facts-depth-", id),
            }),
          )
        }
      />
    </div>
  );
}

const CONDITIONS = ["dark", "wet", "motorway"] as const;

/** What of the day bears on the drive home. */
export function Conditions({ visit }: { visit: Visit }) {
  const present = CONDITIONS.filter((name) => visit.value(`about/${name}`) === true);
  const toggle = (name: (typeof CONDITIONS)[number]) => {
    const isPresent = present.includes(name);
    void visit.put(
      [{ put: `about/${name}`, value: !isPresent }],
      text("phone-item-recorded", {
        title: text(`phone-facts-${name}`),
        answer: isPresent ? text("phone-facts-no") : text("phone-facts-yes"),
      }),
    );
  };
  return (
    <div class="fact">
      <p class="fact-label">{text("phone-facts-conditions")}</p>
      <ToggleButtons
        label={text("phone-facts-conditions")}
        options={CONDITIONS.map((id) => ({ id, title: text(`phone-facts-${id}`) }))}
        pressed={present}
        onToggle={(id) => toggle(id as (typeof CONDITIONS)[number])}
      />
    </div>
  );
}
