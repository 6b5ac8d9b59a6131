/** What the car is for: five must-haves, what one leaves for, and which checks decide it. */

import { ScreenFrame } from "../../../components/frame/screen-frame";
import { address } from "../../../state/routes";
import { text } from "../../../text/catalogue";
import { deciding, judgedWants, MOST_MUSTS, wantsIn } from "../../../visit/before/purpose/wants";
import { carName } from "../../../visit/items/item-record";
import { useAssessment } from "../../../visit/use-assessment";
import type { Visit } from "../../../visit/visit";
import { itemAddress, titleOf } from "../../decision/item-links";
import { Uses } from "../../facts/fact-choices";
import { FromOther } from "./from-other";
import { Offer } from "./offer";
import { OwnLine } from "./own-line";
import { WantRow } from "./want-row";

import "../../../../style/rows.css";
import "./purpose.css";

const FIRST = 6;

/** The checks that decide most of it soonest. */
function LookFirst({ visit }: { visit: Visit }) {
  const rows = useAssessment(visit)?.wants ?? [];
  const items = deciding(visit, rows);
  if (items.length === 0) return null;
  const stages = new Map(visit.bundle.stages.map(({ id, title }) => [id, title]));
  const stageOf = new Map(visit.bundle.items.map(({ id, stage }) => [id, stages.get(stage) ?? ""]));
  const list = (shown: string[]) => (
    <ol class="rows">
      {shown.map((item) => (
        <li key={item}>
          <a class="row" href={itemAddress(visit, item)}>
            <span class="row-title">{titleOf(visit, item)}</span>
            <span class="row-detail">{stageOf.get(item)}</span>
          </a>
        </li>
      ))}
    </ol>
  );
  return (
    <section aria-label={text("purpose-look-first")}>
      <h2>{text("purpose-look-first")}</h2>
      {list(items.slice(0, FIRST))}
      {items.length > FIRST && (
        <details>
          <summary>{text("purpose-look-more", { count: items.length - FIRST })}</summary>
          {list(items.slice(FIRST))}
        </details>
      )}
    </section>
  );
}

export function PurposeScreen({ visit }: { visit: Visit }) {
  const judged = judgedWants(useAssessment(visit));
  const wants = wantsIn(visit.besideItems());
  const musts = wants.filter(({ side }) => side === "must");
  const leaves = wants.filter(({ side }) => side === "leave");
  const rows = (of: typeof wants) => (
    <ol class="wants">
      {of.map((want) => (
        <WantRow
          key={want.id}
          visit={visit}
          want={want}
          judged={judged.get(want.id)}
          musts={musts}
        />
      ))}
    </ol>
  );
  return (
    <ScreenFrame
      title={text("phone-walk-purpose")}
      back={{ screen: "walk", visit: visit.id }}
      above={carName(visit)}
      foot={
        <a class="button main" href={address({ screen: "walk", visit: visit.id })}>
          {text("phone-facts-walk")}
        </a>
      }
    >
      <p class="hint">{text("purpose-hint")}</p>
      <Uses visit={visit} />
      <FromOther visit={visit} />
      <section aria-label={text("purpose-musts")}>
        <h2>
          {text("purpose-musts")}{" "}
          <span class="row-detail">
            {musts.length} / {MOST_MUSTS}
          </span>
        </h2>
        {rows(musts)}
        <Offer visit={visit} wants={wants} side="must" />
        {musts.length < MOST_MUSTS && <OwnLine visit={visit} wants={musts} side="must" />}
      </section>
      <section aria-label={text("purpose-leaves")}>
        <h2>{text("purpose-leaves")}</h2>
        {rows(leaves)}
        <Offer visit={visit} wants={wants} side="leave" />
        <OwnLine visit={visit} wants={leaves} side="leave" />
      </section>
      <LookFirst visit={visit} />
    </ScreenFrame>
  );
}
