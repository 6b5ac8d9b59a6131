/** Facts of the car and the day that are tapped; every answer narrows the list. */

import { ChoiceButtons, ToggleButtons } from "../../components/controls/choice-buttons";
import { words } from "../../text/en";
import { useAssessment } from "../../visit/use-assessment";
import type { Visit } from "../../visit/visit";

const texts = words.facts;

/** The facts that decide which items apply, one group of buttons each. */
export function CarFactChoices({ visit }: { visit: Visit }) {
  return (
    <>
      {Object.entries(words.fact).map(([put, [label, answers]]) => {
        const value = visit.value(put);
        return (
          <div key={put} class="fact">
            <p class="fact-label">{label}</p>
            <ChoiceButtons
              label={label}
              options={Object.entries(answers).map(([id, title]) => ({ id, title }))}
              chosen={typeof value === "string" ? value : null}
              onChoose={(id) =>
                void visit.put(
                  [{ put, value: value === id ? null : id }],
                  words.item.recorded(label, (answers as Record<string, string>)[id] ?? id),
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
    const title = words.use[id as keyof typeof words.use];
    void visit.put(
      [{ put: "brief/uses", value: next.length === 0 ? null : next }],
      words.item.recorded(texts.uses, title),
    );
  };
  return (
    <div class="fact">
      <p class="fact-label">{texts.uses}</p>
      <ToggleButtons
        label={texts.uses}
        options={Object.entries(words.use).map(([id, title]) => ({ id, title }))}
        pressed={uses}
        onToggle={toggle}
      />
      {conflicts.map(({ text }) => (
        <p key={text} class="caution">
          {text}
        </p>
      ))}
    </div>
  );
}

/** How thorough the visit is to be. */
export function Depth({ visit }: { visit: Visit }) {
  return (
    <div class="fact">
      <p class="fact-label">{texts.depth}</p>
      <ChoiceButtons
        label={texts.depth}
        options={Object.entries(texts.depths).map(([id, title]) => ({ id, title }))}
        chosen={visit.text("about/depth") || "usual"}
        onChoose={(id) =>
          void visit.put(
            [{ put: "about/depth", value: id }],
            words.item.recorded(texts.depth, texts.depths[id as keyof typeof texts.depths]),
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
      words.item.recorded(texts[name], isPresent ? texts.no : texts.yes),
    );
  };
  return (
    <div class="fact">
      <p class="fact-label">{texts.conditions}</p>
      <ToggleButtons
        label={texts.conditions}
        options={CONDITIONS.map((id) => ({ id, title: texts[id] }))}
        pressed={present}
        onToggle={(id) => toggle(id as (typeof CONDITIONS)[number])}
      />
    </div>
  );
}
