/** Facts of the car and the day that are tapped; every answer narrows the list. */

import { ChoiceButtons, ToggleButtons } from "../../components/controls/choice-buttons";
import { catalogue, text } from "../../text/catalogue";
import { say } from "../../text/say";
import { chosenStyle } from "../../visit/body/car-places";
import { useAssessment } from "../../visit/use-assessment";
import type { Change, Visit } from "../../visit/visit";
import { StyleChoice } from "../body-map/later";

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
const USES = ["everyday", "long_trips", "track", "show", "family", "load", "resale", "project"];
const DEPTHS = ["usual", "thorough"];

/** What a code is called. */
function named(head: string, code: string): string {
  return catalogue.find(head + code.replaceAll("_", "-"));
}

const STYLES = ["sedan", "coupe", "hatchback", "wagon", "convertible", "pickup", "van", "suv"];

/** The body style that a model's name says, where it says exactly one; recorded with the name. */
export function styleIn(model: string, visit: Visit): Change[] {
  const words = new Set(model.toLowerCase().split(/[^\p{L}]+/u));
  const named = STYLES.filter((style) =>
    catalogue
      .find(`phone-style-words-${style}`)
      .split(", ")
      .some((word) => words.has(word.toLowerCase())),
  );
  const [style] = named;
  if (style === undefined || named.length > 1 || chosenStyle(visit) !== null) return [];
  return [{ put: "car/body_style", value: style }];
}

/** Which body the car has: in words until the pictures are there. */
export function BodyStyleFact({ visit }: { visit: Visit }) {
  const put = "car/body_style";
  const label = text("phone-map-style-label");
  const words = (
    <ChoiceButtons
      label={label}
      options={STYLES.map((id) => ({ id, title: named("body-style-", id) }))}
      chosen={chosenStyle(visit)}
      onChoose={(id) =>
        void visit.put(
          [{ put, value: chosenStyle(visit) === id ? null : id }],
          text("phone-item-recorded", { title: label, answer: named("body-style-", id) }),
        )
      }
    />
  );
  return (
    <div class="fact">
      <p class="fact-label">{label}</p>
      <StyleChoice visit={visit} instead={words} />
    </div>
  );
}

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

/** What the car is wanted for; wishes that ask it for opposite things are named. */
export function Uses({ visit }: { visit: Visit }) {
  const uses = visit.uses();
  const conflicts = useAssessment(visit)?.brief.conflicts ?? [];
  const toggle = (id: string) => {
    const next = uses.includes(id) ? uses.filter((use) => use !== id) : [...uses, id].sort();
    const answer = named("use-", id);
    void visit.put(
      [{ put: "brief/uses", value: next.length === 0 ? null : next }],
      text("phone-item-recorded", { title: text("phone-facts-uses"), answer }),
    );
  };
  return (
    <div class="fact">
      <p class="fact-label">{text("phone-facts-uses")}</p>
      <ToggleButtons
        label={text("phone-facts-uses")}
        options={USES.map((id) => ({ id, title: named("use-", id) }))}
        pressed={uses}
        onToggle={toggle}
      />
      {conflicts.map((conflict) => (
        <p key={conflict.uses.join()} class="caution">
          {say(conflict.said, visit.bundle.rules)}
        </p>
      ))}
    </div>
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
