/** One car: its name in the list, archived or not, deleted or not; each an entry like any other. */

import { ScreenFrame } from "../../components/frame/screen-frame";
import { address } from "../../state/routes";
import { router } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { carName } from "../../visit/items/item-record";
import { ARCHIVED, DELETED, isSigned, NAME, shelfOf } from "../../visit/shelf";
import type { Change, Visit } from "../../visit/visit";
import { TextFact } from "../facts/fact-fields";

/** What a shelf is called, and what it means that a car stands there. */
const SAID = {
  archived: ["phone-shelf-archived", "phone-shelf-archived-means"],
  deleted: ["phone-shelf-deleted", "phone-shelf-deleted-means"],
} as const;

/** What brings a visit back into the list. */
export function restoring(value: (put: string) => unknown): Change[] {
  return [ARCHIVED, DELETED]
    .filter((put) => value(put) !== null)
    .map((put) => ({ put, value: null }));
}

function Delete({ visit }: { visit: Visit }) {
  if (isSigned(visit.cells.value)) return <p class="hint">{text("phone-shelf-signed")}</p>;
  const remove = async () => {
    if (await visit.put([{ put: DELETED, value: true }])) router.go({ screen: "cars" });
  };
  return (
    <div class="fact">
      <button type="button" onClick={() => void remove()}>
        {text("phone-shelf-delete")}
      </button>
      <p class="hint">{text("phone-shelf-deleted-means")}</p>
    </div>
  );
}

export function Manage({ visit }: { visit: Visit }) {
  const shelf = shelfOf(visit.cells.value);
  const said = shelf === "archived" || shelf === "deleted" ? SAID[shelf] : null;
  const archive = async () => {
    if (await visit.put([{ put: ARCHIVED, value: true }])) router.go({ screen: "cars" });
  };
  const restore = () =>
    void visit.put(
      restoring((put) => visit.value(put)),
      text("phone-shelf-restored"),
    );
  return (
    <ScreenFrame
      title={text("phone-shelf-title")}
      back={{ screen: "walk", visit: visit.id }}
      above={carName(visit)}
    >
      {said !== null && (
        <p class="caution">
          <strong>{text(said[0])}.</strong> {text(said[1])}
        </p>
      )}
      <a class="button" href={address({ screen: "seal", visit: visit.id })}>
        {text("phone-sign-title")}
      </a>
      <TextFact visit={visit} put={NAME} label={text("phone-shelf-name")} />
      <p class="hint">{text("phone-shelf-name-hint")}</p>
      {said === null ? (
        <div class="fact">
          <button type="button" onClick={() => void archive()}>
            {text("phone-shelf-archive")}
          </button>
          <p class="hint">{text("phone-shelf-archived-means")}</p>
        </div>
      ) : (
        <button type="button" class="main" onClick={restore}>
          {text("phone-shelf-restore")}
        </button>
      )}
      {shelf !== "deleted" && <Delete visit={visit} />}
    </ScreenFrame>
  );
}
