/**
 * A finding that no check asks for: where, how bad, in whose words, photos and what it would cost.
 * Every answer is recorded as it is given; the first one makes the finding.
 */

import { useState } from "preact/hooks";
import { FAULTS, type Grade, type Item } from "../../../shared/contract";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { TextField } from "../../components/controls/text-field";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { GradeMark } from "../../components/grades/grade-mark";
import { ItemPhotos, ItemSounds } from "../../components/photos/item-photos";
import { address, type Route } from "../../state/routes";
import { router } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { gradeName } from "../../text/names";
import { carName, gradeValue } from "../../visit/items/item-record";
import { isOwn, ownItem } from "../../visit/items/own-findings";
import type { Change, Visit } from "../../visit/visit";
import { ItemConflicts } from "../together/later";
import { Cost } from "./cost";

import "./own.css";

const MOST_SAID = 40;

/** Random, so that two phones that write without sight of one another write of two findings. */
function newId(area: string): string {
  const bytes = crypto.getRandomValues(new Uint8Array(4));
  const name = [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
  return `${area}.own-${name}`;
}

/** As much of somebody's words as a line at the foot of the screen has room for. */
function brief(words: string): string {
  const letters = [...words.replace(/\s+/g, " ")];
  return letters.length > MOST_SAID ? `${letters.slice(0, MOST_SAID - 1).join("")}…` : words;
}

/** What of a finding stands, at the paths of another one and no more at its own. */
function moved(visit: Visit, from: string, to: string): Change[] {
  return Object.entries(visit.cellsOf(from)).flatMap(([put, { value }]) =>
    value === null
      ? []
      : [
          { put: put.replace(`items/${from}/`, `items/${to}/`), value },
          { put, value: null },
        ],
  );
}

export function OwnScreen({ visit, item }: { visit: Visit; item: string | null }) {
  const isKnown = item !== null && isOwn(item);
  const [fresh, setFresh] = useState<string | null>(item === null ? null : newId(item));
  const id = isKnown ? item : fresh;
  const area = id?.split(".own-")[0] ?? null;
  const go = (next: string) => {
    // the finding's own address takes the place of that of a new one
    if (item !== next) location.replace(address({ screen: "own", visit: visit.id, item: next }));
  };
  const goTo = async (to: string) => {
    const next = newId(to);
    const title = visit.bundle.areas.find((one) => one.id === to)?.title ?? to;
    const changes = id === null ? [] : moved(visit, id, next);
    if (changes.length > 0 && !(await visit.put(changes, text("own-moved", { area: title }))))
      return;
    setFresh(next);
    if (changes.length > 0) go(next);
  };
  const areaTitle = visit.bundle.areas.find((one) => one.id === area)?.title;
  const back: Route =
    area === null
      ? { screen: "walk", visit: visit.id }
      : { screen: "area", visit: visit.id, area, item: null };
  return (
    <ScreenFrame
      title={text("own-title")}
      back={back}
      above={carName(visit)}
      foot={
        <a class="button main" href={address(back)}>
          {text("own-done")}
        </a>
      }
    >
      <section class="card own-card" aria-label={text("own-title")}>
        {id !== null && <Finding key={id} visit={visit} id={id} onRecorded={() => go(id)} />}
        <details key={`where-${area}`} open={area === null}>
          <summary>
            {areaTitle === undefined ? text("own-where") : text("own-is-in", { area: areaTitle })}
          </summary>
          <ChoiceButtons
            className="answers"
            label={text("own-where")}
            options={visit.bundle.areas}
            chosen={area}
            onChoose={(to) => to !== area && void goTo(to)}
          />
        </details>
      </section>
    </ScreenFrame>
  );
}

function gradeOptions() {
  return FAULTS.map((id) => ({
    id,
    title: gradeName(id),
    mark: <GradeMark grade={id} />,
    className: `choice-${id}`,
  }));
}

function Finding({ visit, id, onRecorded }: { visit: Visit; id: string; onRecorded: () => void }) {
  const words = visit.text(`items/${id}/text`);
  const shown: Item = ownItem(id, words || text("own-untitled"));
  const grade = gradeValue(visit, shown)?.grade ?? null;
  const record = async (changes: Change[], said: string) => {
    if (await visit.put(changes, said)) onRecorded();
  };
  const write = (name: string) => (typed: string) => {
    const value = typed.trim() === "" ? null : typed.trim();
    void record(
      [{ put: `items/${id}/${name}`, value }],
      text("own-saved", { words: brief((name === "text" && value) || shown.title) }),
    );
  };
  const takeBack = () => {
    const standing = Object.entries(visit.cellsOf(id)).filter(([, { value }]) => value !== null);
    const changes = standing.map(([put]) => ({ put, value: null }));
    void visit.put(changes, text("own-removed", { words: brief(shown.title) }));
    router.go({ screen: "area", visit: visit.id, area: shown.area, item: null });
  };
  const isThere = Object.values(visit.cellsOf(id)).some(({ value }) => value !== null);
  return (
    <>
      <TextField
        id="own-text"
        label={text("own-words")}
        value={words}
        multiline
        onRecord={write("text")}
      />
      <p class="chips-title">{text("own-grade")}</p>
      <ChoiceButtons
        className="answers grades"
        label={text("own-grade")}
        options={gradeOptions()}
        chosen={grade}
        onChoose={(to) =>
          void record(
            [{ put: `items/${id}/grade`, value: { grade: to } }],
            text("phone-item-recorded", {
              title: brief(shown.title),
              answer: gradeName(to as Grade),
            }),
          )
        }
      />
      {isThere && grade === null && <p class="hint">{text("own-ungraded")}</p>}
      <ItemConflicts visit={visit} item={shown} />
      <ItemPhotos visit={visit} item={shown} />
      <ItemSounds visit={visit} item={shown} />
      <Cost visit={visit} put={`items/${id}/cost`} onRecord={record} />
      <TextField
        id="own-note"
        label={text("own-note")}
        value={visit.text(`items/${id}/note`)}
        multiline
        onRecord={write("note")}
      />
      {isThere && (
        <button type="button" onClick={takeBack}>
          {text("own-remove")}
        </button>
      )}
    </>
  );
}
