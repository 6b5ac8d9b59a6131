/** The reasons that count, each with the photo that shows it; the first five stand open. */

import type { Assessment } from "../../../shared/contract";
import { PhotoPicture } from "../../components/photos/photo-picture";
import { text } from "../../text/catalogue";
import { say } from "../../text/say";
import { photosOf } from "../../visit/items/item-record";
import { type CountingReason, reasonsThatCount } from "../../visit/reasons-that-count";
import type { Visit } from "../../visit/visit";
import { itemAddress, Shortened, titleOf } from "./item-links";

function Reason({ visit, reason: { item, said } }: { visit: Visit; reason: CountingReason }) {
  const words = say(said, visit.bundle.rules);
  if (item === "") return <>{words}</>;
  const [photo] = photosOf(visit, item);
  return (
    <a href={itemAddress(visit, item)} class={photo === undefined ? undefined : "with-photo"}>
      {photo !== undefined && (
        <PhotoPicture
          sha256={photo}
          alt={text("phone-photo-alt", { title: titleOf(visit, item), number: 1 })}
        />
      )}
      <span>{words}</span>
    </a>
  );
}

export function Reasons({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const reasons = reasonsThatCount(assessment);
  if (reasons.length === 0) return null;
  return (
    <section aria-label={text("phone-decide-reasons")}>
      <h2>{text("phone-decide-reasons")}</h2>
      <Shortened
        rows={reasons}
        more="phone-decide-more-reasons"
        list={(shown) => (
          <ul class="reasons-list">
            {shown.map((reason) => (
              <li key={`${reason.item} ${reason.said.id}`}>
                <Reason visit={visit} reason={reason} />
              </li>
            ))}
          </ul>
        )}
      />
    </section>
  );
}
