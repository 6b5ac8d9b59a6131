/** What was found: each fault with its grade, reasons and photos. */

import type { Assessment, Item, ItemJudgment } from "../../../shared/contract";
import { ItemGrade } from "../../components/grades/item-grade";
import { PhotoPicture } from "../../components/photos/photo-picture";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import { photosOf } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";

import { Fold } from "./fold";

import "../../../style/rows.css";
import "../../components/photos/item-photos.css";
import "./decision.css";

function Finding({
  visit,
  item,
  judged,
}: {
  visit: Visit;
  item: Item;
  judged: ItemJudgment | undefined;
}) {
  return (
    <li class="evidence">
      <p class="row-title">{item.title || text("judge-own-untitled")}</p>
      <ItemGrade visit={visit} item={item} judged={judged} />
      {judged?.reasons
        .map((reason) => say(reason.said, visit.bundle.rules))
        .map((sentence) => (
          <p key={sentence}>{sentence}</p>
        ))}
      <ul class="photo-list">
        {photosOf(visit, item.id).map((sha256, index) => (
          <li key={sha256}>
            <PhotoPicture
              sha256={sha256}
              alt={text("phone-photo-alt", { title: item.title, number: index + 1 })}
            />
          </li>
        ))}
      </ul>
    </li>
  );
}

interface EvidenceProps {
  visit: Visit;
  assessment: Assessment;
}

function Findings({ visit, assessment }: EvidenceProps) {
  const items = assessment.findings
    .map((id) => visit.item(id))
    .filter((item) => item !== undefined);
  if (items.length === 0) return <p>{text("phone-decide-nothing-found")}</p>;
  return (
    <ul class="rows">
      {items.map((item) => (
        <Finding key={item.id} visit={visit} item={item} judged={assessment.items[item.id]} />
      ))}
    </ul>
  );
}

/** All of it at once, or behind its heading. */
export function Evidence({ isFolded = false, ...props }: EvidenceProps & { isFolded?: boolean }) {
  const title = text("phone-decide-evidence");
  return (
    <section aria-label={title}>
      {isFolded ? (
        <Fold title={title}>
          <Findings {...props} />
        </Fold>
      ) : (
        <>
          <h2>{title}</h2>
          <Findings {...props} />
        </>
      )}
    </section>
  );
}
