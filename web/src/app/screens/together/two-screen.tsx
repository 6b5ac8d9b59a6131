/** Two phones, one car: one's name, what came since one last looked, conflicts, and who has what. */

import { useEffect, useState } from "preact/hooks";
import type { LogEvent } from "../../../shared/event";
import { TextField } from "../../components/controls/text-field";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { ItemGrade } from "../../components/grades/item-grade";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import { carName } from "../../visit/items/item-record";
import { type Came, isFine } from "../../visit/together/came";
import { conflictsOf } from "../../visit/together/conflicts";
import type { People } from "../../visit/together/people";
import { farText, heldStages } from "../../visit/together/stages-taken";
import { type Together, togetherOf } from "../../visit/together/together";
import { clockOf } from "../../visit/together/words";
import type { Visit } from "../../visit/visit";
import { stagesOf } from "../../visit/walk-order";
import { ConflictOf } from "./conflict-card";
import { addressOf } from "./news";

import "../../../style/rows.css";

/** What came stays in sight while one reads; the next look begins after it. */
function useCame(together: Together): Came[] {
  const [shown, setShown] = useState<LogEvent[]>([]);
  const fresh = together.fresh.value;
  useEffect(() => {
    if (fresh.length === 0) return;
    setShown((before) => [...before, ...fresh]);
    void together.looked();
  }, [fresh, together]);
  return together.cameOf(shown).value;
}

function CameRows({ visit, rows }: { visit: Visit; rows: Came[] }) {
  return (
    <ul class="rows">
      {rows.map((came) => (
        <li key={came.key}>
          <a class="row" data-came={came.item?.id ?? ""} href={addressOf(visit, came)}>
            <span class="row-title">{came.title}</span>
            <span class="row-state">
              {came.item !== null && <ItemGrade visit={visit} item={came.item} />}
            </span>
            <span class="row-detail">
              {came.said} · {text("together-by", { who: came.who, when: clockOf(came.at) })}
            </span>
          </a>
        </li>
      ))}
    </ul>
  );
}

function NewRows({ visit, together }: { visit: Visit; together: Together }) {
  const came = useCame(together);
  const fine = came.filter(isFine);
  return (
    <section aria-label={text("together-came")}>
      <h2>{text("together-came")}</h2>
      {came.length === 0 && <p>{text("together-came-none")}</p>}
      <CameRows visit={visit} rows={came.filter((one) => !isFine(one))} />
      {fine.length > 0 && (
        <details class="part" open={fine.length === came.length}>
          <summary>{text("together-came-fine", { count: fine.length })}</summary>
          <CameRows visit={visit} rows={fine} />
        </details>
      )}
    </section>
  );
}

function Conflicts({ visit, people }: { visit: Visit; people: People }) {
  const conflicts = conflictsOf(visit, people, null);
  if (conflicts.length === 0) return null;
  return (
    <section class="conflict" aria-label={text("together-conflicts", { count: conflicts.length })}>
      <h2>{text("together-conflicts", { count: conflicts.length })}</h2>
      <p>{text("together-conflict")}</p>
      {conflicts.map((conflict) => (
        <ConflictOf key={conflict.put} visit={visit} conflict={conflict} isNamed={true} />
      ))}
    </section>
  );
}

function Stages({ visit, people }: { visit: Visit; people: People }) {
  const held = heldStages(visit, people, stagesOf(visit));
  return (
    <section aria-label={text("together-stages")}>
      <h2>{text("together-stages")}</h2>
      {held.length === 0 && <p>{text("together-stages-none")}</p>}
      <ul class="rows">
        {held.map((one) => (
          <li key={one.stage}>
            <a
              class="row"
              href={address({ screen: "stage", visit: visit.id, stage: one.stage, item: null })}
            >
              <span class="row-title">{one.title}</span>
              <span class="row-state">{farText(one)}</span>
            </a>
          </li>
        ))}
      </ul>
      {people.others.map((phone) => (
        <p key={phone} class="hint">
          {text("together-heard", {
            who: people.nameOf(phone),
            when: clockOf(people.last.get(phone) ?? ""),
          })}
        </p>
      ))}
    </section>
  );
}

/** Asked once; what was said can be changed here. */
function OwnName({ together, name }: { together: Together; name: string }) {
  return (
    <div>
      <TextField
        id="own-name"
        label={text("together-name")}
        value={name}
        onRecord={(typed) => {
          const said = typed.trim();
          if (said !== "") void together.sayName(said, text("together-name-said", { name: said }));
        }}
      />
      <p class="hint">{text("together-name-why")}</p>
    </div>
  );
}

export function Two({ visit }: { visit: Visit }) {
  const together = togetherOf(visit);
  const people = together.people.value;
  return (
    <ScreenFrame
      title={text("together-title")}
      above={carName(visit)}
      back={{ screen: "walk", visit: visit.id }}
    >
      {people !== null && (
        <>
          {people.ownName() === "" && <OwnName together={together} name="" />}
          <NewRows visit={visit} together={together} />
          <Conflicts visit={visit} people={people} />
          <Stages visit={visit} people={people} />
          {people.ownName() !== "" && <OwnName together={together} name={people.ownName()} />}
        </>
      )}
    </ScreenFrame>
  );
}
