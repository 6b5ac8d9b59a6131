/** Facts of the car and the day that are tapped among its details; every answer narrows the list. */

import { ChoiceButtons, ToggleButtons } from "../../components/controls/choice-buttons";
import { text } from "../../text/catalogue";
import { CAR_FACTS, carFact } from "../../visit/car-facts";
import type { Visit } from "../../visit/visit";
import { FactChoice } from "./fact-choice";
import { named } from "./fact-choices";

const DEPTHS = ["usual", "thorough"];

/** The facts that decide which items apply, one group of buttons each. */
export function CarFactChoices({ visit }: { visit: Visit }) {
  return (
    <>
      {CAR_FACTS.map((fact) => (
        <FactChoice key={fact} visit={visit} fact={carFact(fact)} />
      ))}
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
