/** The car's profile: what settles which checks apply, and its maker's figures, folded by system. */

import { useEffect, useState } from "preact/hooks";
import type { Item, ProfileFact, ProfileGroup, Reading } from "../../../shared/contract";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { ReadingGroup } from "../../components/readings/reading-group";
import { offlineNames } from "../../device/judge";
import { text } from "../../text/catalogue";
import { placeLabel } from "../../text/names";
import { isAbsent } from "../../visit/body/car-places";
import { factOf, mayHold } from "../../visit/car-facts";
import { ONLY_PLACE, placesOf, readingPut } from "../../visit/items/item-readings";
import type { Visit } from "../../visit/visit";
import { TextFact } from "./fact-fields";
import { KnownModel } from "./known-model";

import "./profile.css";

/** The check and its reading that a figure fills first, asked under the figure's own title. */
function shapeOf(visit: Visit, fact: ProfileFact): { item: Item; reading: Reading } | null {
  const [name = "", id = ""] = (fact.fills?.[0] ?? "").split("/");
  const item = visit.item(name);
  const reading = item?.readings.find((one) => one.id === id);
  if (item === undefined || reading === undefined) return null;
  return { item, reading: { ...reading, title: fact.title } };
}

function panelsOf(visit: Visit): string[] {
  const panels = Object.values(visit.bundle.rules.bodies ?? {}).flat();
  return [...new Set<string>(panels)].filter((panel) => !isAbsent(visit, panel));
}

/** Where a fact is recorded: once, at each place, or for each panel. */
function putsOf(visit: Visit, fact: ProfileFact): string[] {
  if (fact.panels === true) return panelsOf(visit).map((panel) => `car/${fact.id}_${panel}`);
  const shape = shapeOf(visit, fact);
  if (shape === null) return [`car/${fact.id}`];
  const { item, reading } = shape;
  return placesOf(visit, item, reading).map((place) => readingPut(visit, item, reading, place));
}

function Choice({ visit, fact, put, label }: FactProps & { put: string; label: string }) {
  const value = visit.text(put);
  const options = fact.choices ?? [];
  return (
    <div class="fact">
      <p class="fact-label">{label}</p>
      <ChoiceButtons
        label={label}
        options={options}
        chosen={value}
        onChoose={(id) =>
          void visit.put(
            [{ put, value: value === id ? null : id }],
            text("phone-item-recorded", {
              title: label,
              answer: options.find((option) => option.id === id)?.title ?? id,
            }),
          )
        }
      />
    </div>
  );
}

interface FactProps {
  visit: Visit;
  fact: ProfileFact;
}

function Fact({ visit, fact }: FactProps) {
  if (fact.text === true) {
    return <TextFact visit={visit} put={`car/${fact.id}`} label={fact.title} />;
  }
  const shape = shapeOf(visit, fact);
  if (shape !== null) return <ReadingGroup visit={visit} {...shape} onPreview={() => undefined} />;
  return putsOf(visit, fact).map((put) => {
    const panel = fact.panels === true ? put.slice(`car/${fact.id}_`.length) : ONLY_PLACE;
    const label = panel === ONLY_PLACE ? fact.title : placeLabel(panel);
    return <Choice key={put} visit={visit} fact={fact} put={put} label={label} />;
  });
}

function Group({ visit, group }: { visit: Visit; group: ProfileGroup }) {
  const facts = group.facts.filter((fact) => mayHold(visit, fact.applies));
  if (facts.length === 0) return null;
  const isKnown = (fact: ProfileFact) =>
    putsOf(visit, fact).some((put) => factOf(visit, put) !== null);
  const count = { known: facts.filter(isKnown).length, all: facts.length };
  return (
    <details class="profile-group" data-group={group.id}>
      <summary>
        {group.title} <span class="profile-count">{text("phone-profile-count", count)}</span>
      </summary>
      {facts.map((fact) => (
        <Fact key={fact.id} visit={visit} fact={fact} />
      ))}
    </details>
  );
}

/**
 * What is asked of the car. A visit whose checklist is older than that is asked what today's asks
 * to pick or to type; a figure of a check would have nowhere to go.
 */
function useGroups(visit: Visit): ProfileGroup[] {
  const own = visit.bundle.profile ?? [];
  const [today, setToday] = useState<ProfileGroup[]>([]);
  useEffect(() => {
    if (own.length > 0) return;
    const load = async () => {
      const hash = /[0-9a-f]{64}/.exec((await offlineNames()).checklists)?.[0];
      const bundle = hash === undefined ? null : await visit.services.bundles.fetch(hash);
      const groups = (bundle?.profile ?? []).map((group) => ({
        ...group,
        facts: group.facts.filter(({ fills = [] }) => fills.length === 0),
      }));
      setToday(groups.filter(({ facts }) => facts.length > 0));
    };
    // without a signal and without today's checklist there is nothing to ask
    load().catch(() => undefined);
  }, [visit]);
  return own.length > 0 ? own : today;
}

export function Profile({ visit }: { visit: Visit }) {
  const groups = useGroups(visit);
  if (groups.length === 0) return null;
  return (
    <section class="profile" aria-labelledby="profile-title">
      <h2 id="profile-title">{text("phone-profile-title")}</h2>
      <p>{text("phone-profile-hint")}</p>
      <KnownModel visit={visit} />
      {groups.map((group) => (
        <Group key={group.id} visit={visit} group={group} />
      ))}
    </section>
  );
}
