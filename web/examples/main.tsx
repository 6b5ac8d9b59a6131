/** Named examples of every component; the tests look at each with axe and take its picture. */

import "../src/style/tokens.css";
import "../src/style/base.css";

import { type ComponentChildren, render } from "preact";
import { ChoiceButtons } from "../src/app/components/controls/choice-buttons";
import { TextField } from "../src/app/components/controls/text-field";
import { BodyDrawing } from "../src/app/components/drawing/body-drawing";
import { outlineOf, panelsOf, placesOf, STYLES } from "../src/app/components/drawing/outlines";
import { SyncLineOf } from "../src/app/components/frame/sync-line";
import { GradeMark, GradeWord, Mark, MarkWord } from "../src/app/components/grades/grade-mark";
import { ItemCard } from "../src/app/components/item/item-card";
import { ItemRow } from "../src/app/components/item/item-row";
import { SignaturePad } from "../src/app/components/seal/signature-pad";
import { placeWord } from "../src/app/screens/body-map/panel-words";
import { page } from "../src/app/state/this-page";
import { catalogue, type Files, type Patterns, text } from "../src/app/text/catalogue";
import { FILES } from "../src/app/text/catalogue-files";
import type { PanelState } from "../src/app/visit/body/body-panels";
import { Visit } from "../src/app/visit/visit";
import type { BodyStyle, Grade, ItemJudgment, Reason, Said } from "../src/shared/contract";
import type { Cells } from "../src/shared/event";
import type { MarkId } from "../src/shared/marks";
import { NOTHING_KNOWN, type SyncState } from "../src/store/exchange/sync";
import { assessment, bundle, cell, items, judged } from "./data";

/** Marks that show no grade. */
const FURTHER: MarkId[] = ["mended", "look_here"];
const GRADES: (Grade | null)[] = [null, "none", "minor", "major", "dangerous", "uninspected"];

function card(name: keyof typeof items, cells: Cells, of: ItemJudgment): ComponentChildren {
  const item = items[name];
  if (item === undefined) throw new Error(`no example item ${name}`);
  const visit = Visit.of(page, "e".repeat(32), bundle, cells, assessment({ [item.id]: of }));
  return <ItemCard visit={visit} item={item} />;
}

function row(name: keyof typeof items, cells: Cells, of: ItemJudgment): ComponentChildren {
  const item = items[name];
  if (item === undefined) throw new Error(`no example item ${name}`);
  const visit = Visit.of(page, "e".repeat(32), bundle, cells, assessment({ [item.id]: of }));
  return <ItemRow visit={visit} item={item} fresh={new Set()} onOpen={nothing} />;
}

function sync(change: Partial<SyncState>): ComponentChildren {
  return <SyncLineOf state={{ ...NOTHING_KNOWN, ...change }} />;
}

const reason = (id: string, args: Said["args"]): Reason[] => [
  { code: "limit", said: args === undefined ? { id } : { id, args }, source: "practice" },
];

/** A car of a style, with these readings. */
function car(
  style: BodyStyle,
  change: Record<string, Partial<PanelState>>,
  tags: Record<string, MarkId[]>,
): ComponentChildren {
  const outline = outlineOf(style);
  const empty: PanelState = {
    ...{ film: "", shown: "", deviation: "", unit: "", finish: null, marks: [] },
  };
  return (
    <BodyDrawing
      outline={outline}
      states={new Map(panelsOf(outline).map((name) => [name, { ...empty, ...change[name] }]))}
      tags={new Map(Object.entries(tags))}
      chosen="roof"
      word={(place) => placeWord(style, place)}
      onChoose={nothing}
    />
  );
}

/** Every panel with the longest figure, every place with a mark: nothing may cover anything. */
function full(style: BodyStyle): ComponentChildren {
  const outline = outlineOf(style);
  const panels = panelsOf(outline);
  const mark = (id: string) => ({ id, title: id });
  const state = { film: "900", shown: "35.4", marks: ["dent", "rust", "repair"].map(mark) };
  const places = [...panels, ...placesOf(outline)];
  return car(
    style,
    Object.fromEntries(panels.map((panel) => [panel, state])),
    Object.fromEntries(places.map((place) => [place, ["dangerous", "look_here"]])),
  );
}

const nothing = () => undefined;

const examples: Record<string, () => ComponentChildren> = {
  ...Object.fromEntries(STYLES.map((style) => [`body map, ${style}, full`, () => full(style)])),
  plates: () => [
    ...GRADES.map((grade) => <GradeMark key={grade} grade={grade} />),
    ...FURTHER.map((id) => <Mark key={id} id={id} />),
  ],
  "grade words": () =>
    GRADES.map((grade) => (
      <p key={grade}>
        <GradeWord grade={grade} />
      </p>
    )),
  "state words, mended and look here": () =>
    FURTHER.map((id) => (
      <p key={id}>
        <MarkWord id={id} />
      </p>
    )),
  "grade word, mended since": () => <GradeWord grade="dangerous" isMended />,
  "choices, one chosen": () => (
    <ChoiceButtons
      label="Fuel"
      options={[
        { id: "petrol", title: "Gas" },
        { id: "diesel", title: "Diesel" },
      ]}
      chosen="petrol"
      onChoose={nothing}
    />
  ),
  "field, empty": () => <TextField id="empty" label="Make" value="" onRecord={nothing} />,
  "field, wrong": () => (
    <TextField
      id="wrong"
      label="Year"
      value="94"
      problem={text("phone-facts-year-bad")}
      onRecord={nothing}
    />
  ),
  "row, open": () => row("plain", {}, judged(null)),
  "row, OK": () =>
    row("plain", { "items/example.plain/grade": cell({ grade: "none" }) }, judged("none")),
  "row, dangerous": () =>
    row(
      "plain",
      { "items/example.plain/grade": cell({ grade: "dangerous" }) },
      judged("dangerous"),
    ),
  "card, open": () => card("plain", {}, judged(null)),
  "card, no fault": () =>
    card("plain", { "items/example.plain/grade": cell({ grade: "none" }) }, judged("none")),
  "card, not inspected": () =>
    card(
      "plain",
      { "items/example.plain/grade": cell({ grade: "uninspected", why: "no access" }) },
      judged("uninspected"),
    ),
  "card, dangerous": () =>
    card(
      "plain",
      { "items/example.plain/grade": cell({ grade: "dangerous" }) },
      judged("dangerous"),
    ),
  "card, mended since": () =>
    card(
      "plain",
      {
        "items/example.plain/grade": cell({ grade: "major" }),
        "work/example.plain/new/after/example.plain/grade": cell({ grade: "none" }),
      },
      judged("major"),
    ),
  "card, contradicted by another": () =>
    card(
      "plain",
      { "items/example.plain/grade": cell({ grade: "none" }) },
      judged(null, {
        problems: [
          {
            code: "contradiction",
            said: { id: "judge-question", args: { question: "Dry, and low. Where did it go?" } },
            path: "items/example.plain",
          },
        ],
      }),
    ),
  "card, choice with a note": () =>
    card(
      "choices",
      {
        "items/example.choices/choice": cell("holed"),
        "items/example.choices/note": cell("behind the lip"),
      },
      judged("major", {
        by: "choice",
        reasons: reason("judge-reason-choice", { choice: "Holed" }),
      }),
    ),
  "card, readings": () =>
    card(
      "readings",
      { "items/example.readings/readings/lining/front-left": cell({ typed: "2,5", unit: "mm" }) },
      judged("minor", {
        by: "reading",
        reasons: reason("judge-limit-below", {
          name: { checklist: ["reading", "example.readings", "lining"], at: "front-left" },
          value: { number: "5/2", unit: "mm", typed: "2.5" },
          limit: { number: "3", unit: "mm", typed: "3" },
        }),
      }),
    ),
  "card, impossible reading": () =>
    card(
      "single",
      { "items/example.single/readings/rest/one": cell({ typed: "900", unit: "V" }) },
      judged(null, {
        problems: [{ code: "choice", said: { id: "judge-problem-choice" }, path: "" }],
      }),
    ),
  "card, two answers": () =>
    card(
      "plain",
      { "items/example.plain/grade": cell({ grade: "minor" }, [{ grade: "major" }]) },
      judged("major", { conflict: true }),
    ),
  "card, settled by another": () =>
    card(
      "plain",
      {},
      judged("none", {
        asked: false,
        by: "implied",
        reasons: reason("judge-reason-implied", { item: "Edge of the arch" }),
      }),
    ),
  "sync, on this phone": () => sync({ unsentEvents: 12 }),
  "sync, sending": () => sync({ where: "sending", sent: 2, total: 12, unsentEvents: 10 }),
  "sync, on the server": () => sync({ where: "server", answered: 1 }),
  "sync, not paired": () => sync({ issues: [{ kind: "pair", said: "" }], unsentEvents: 3 }),
  "sync, a photo refused": () =>
    sync({ issues: [{ kind: "photo", said: "" }], unsentPhotos: 1, refusedPhotos: 1 }),
  "body map": () =>
    car(
      "sedan",
      {
        bonnet: { film: "110", shown: "110", finish: "original" },
        "front-wing-left": {
          ...{ film: "900", shown: "900", finish: "filler" },
          marks: ["dent", "rust", "repair"].map((id) => ({ id, title: id })),
        },
        "rear-door-left": { film: "320", shown: "320", finish: "repainted" },
        "rear-wing-right": { film: "58", shown: "58", finish: "thin" },
        "front-door-right": { finish: "no-reading" },
      },
      {
        "engine-bay": ["major"],
        "rear-left": ["dangerous"],
        "front-right": ["mended"],
        "rear-wing-left": ["look_here"],
      },
    ),
  "signature, drawn": () => (
    <SignaturePad
      drawn={{ strokes: [[20, 90, 60, 30, 90, 120, 150, 40]], box: [340, 180] }}
      onDraw={nothing}
    />
  ),
};

const wanted = decodeURIComponent(location.hash.slice(1));
const names = Object.keys(examples);

function Page() {
  return (
    <main>
      <h1>{wanted === "" ? "Examples" : wanted}</h1>
      {wanted === "" ? (
        <ul data-examples={JSON.stringify(names)}>
          {names.map((name) => (
            <li key={name}>
              <a href={`#${name}`} onClick={() => setTimeout(() => location.reload())}>
                {name}
              </a>
            </li>
          ))}
        </ul>
      ) : (
        <>
          {/* a component stands below a section's heading, as it does in the app */}
          <h2>Example</h2>
          {examples[wanted]?.()}
        </>
      )}
    </main>
  );
}

catalogue.files = FILES;
await catalogue.load();
// and what is said where somebody decides or signs, which comes later
await catalogue.also(
  import.meta.glob<Patterns>("../../server/bradawl/language/locales/*/decide.ftl", {
    import: "default",
  }) as Files,
);
const root = document.getElementById("app");
if (root !== null) render(<Page />, root);
