/** What is tapped as a car is started: its body, and what it is wanted for. */

import { ChoiceButtons, ToggleButtons } from "../../components/controls/choice-buttons";
import { catalogue, text } from "../../text/catalogue";
import { say } from "../../text/say";
import { chosenStyle } from "../../visit/body/car-places";
import { useAssessment } from "../../visit/use-assessment";
import type { Change, Visit } from "../../visit/visit";
import { StyleChoice } from "../body-map/later";

const USES = ["everyday", "long_trips", "track", "show", "family", "load", "resale", "project"];

/** What a code is called. */
export function named(head: string, code: string): string {
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
