/** Before one goes: whom one calls, what one looks up. Each is a page of its own. */

import { ScreenFrame } from "../../../components/frame/screen-frame";
import { address } from "../../../state/routes";
import { catalogue, text } from "../../../text/catalogue";
import { against, answered, callsOf, isAnswered } from "../../../visit/before/going/calls";
import { CHOICES, haulText } from "../../../visit/before/going/haul";
import { lookupsOf } from "../../../visit/before/going/lookups";
import { carName } from "../../../visit/items/item-record";
import type { Visit } from "../../../visit/visit";
import { CallSheet } from "./call-sheet";
import { Haul } from "./haul";
import { LoadList } from "./load-list";
import { Lookups } from "./lookups";

import "../../../../style/rows.css";
import "../../../components/photos/item-photos.css";
import "./going.css";

const PARTS = {
  calls: "before-calls",
  lookups: "before-lookups",
  load: "before-load",
  haul: "before-haul",
} as const;
const SHOWN = { calls: CallSheet, lookups: Lookups, load: LoadList, haul: Haul };
type Part = keyof typeof PARTS;

/** How far each part is, in one line. */
function stands(visit: Visit, part: Part): string {
  const cells = visit.besideItems();
  if (part === "calls") {
    const questions = visit.bundle.calls ?? [];
    const call = callsOf(cells).at(-1);
    if (call === undefined) return text("before-calls-none");
    const asked = questions.filter((question) => isAnswered(answered(cells, call, question)));
    const bad = against(cells, call, questions).length;
    return [
      text("before-calls-so-far", { done: asked.length, of: questions.length }),
      ...(bad > 0 ? [text("before-calls-against-count", { count: bad })] : []),
    ].join(" · ");
  }
  if (part === "haul") {
    const way = haulText(cells, "way");
    const known = CHOICES.way.some((one) => one === way);
    return catalogue.find(known ? `before-haul-way-${way}` : "before-haul-lacking");
  }
  if (part === "load") {
    const ticked = Object.entries(cells).filter(([put]) => put.startsWith("load/"));
    const count = (state: string) => ticked.filter(([, { value }]) => value === state).length;
    const left = count("left");
    return [
      text("before-load-packed-count", { count: count("packed") }),
      ...(left > 0 ? [text("before-load-left-count", { count: left })] : []),
    ].join(" · ");
  }
  const kinds = visit.bundle.rules.lookups ?? [];
  const done = lookupsOf(cells);
  const looked = kinds.filter(({ id }) => done.some(({ kind }) => kind === id));
  const bad = (visit.assessment.value?.lookups ?? []).filter(
    ({ stands, result }) => stands && result === "bad",
  ).length;
  return [
    text("before-lookups-so-far", { done: looked.length, of: kinds.length }),
    ...(bad > 0 ? [text("before-lookups-bad-count", { count: bad })] : []),
  ].join(" · ");
}

function Page({ visit, part }: { visit: Visit; part: Part }) {
  const Shown = SHOWN[part];
  return (
    <ScreenFrame
      title={text(PARTS[part])}
      back={{ screen: "going", visit: visit.id, part: null }}
      above={carName(visit)}
    >
      <Shown visit={visit} />
    </ScreenFrame>
  );
}

export function GoingScreen({ visit, part }: { visit: Visit; part: string | null }) {
  if (part !== null && part in PARTS) return <Page key={part} visit={visit} part={part as Part} />;
  return (
    <ScreenFrame
      title={text("phone-walk-going")}
      back={{ screen: "walk", visit: visit.id }}
      above={carName(visit)}
    >
      <p class="hint">{text("before-going-hint")}</p>
      <ul class="rows">
        {(Object.keys(PARTS) as Part[]).map((one) => (
          <li key={one}>
            <a
              class="row"
              data-part={one}
              href={address({ screen: "going", visit: visit.id, part: one })}
            >
              <span class="row-title">{text(PARTS[one])}</span>
              <span class="row-detail">{stands(visit, one)}</span>
            </a>
          </li>
        ))}
      </ul>
    </ScreenFrame>
  );
}
