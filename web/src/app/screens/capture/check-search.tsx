/** Choose a check by its words; those around where something was captured stand there first. */

import { useMemo, useState } from "preact/hooks";
import { text } from "../../text/catalogue";
import type { Near } from "../../visit/capture/captured";
import type { Visit } from "../../visit/visit";
import { findParts } from "../find/later";
import { checksOf } from "./near";

const MOST_SHOWN = 12;

export function CheckSearch({
  visit,
  near,
  onChoose,
}: {
  visit: Visit;
  near: Near;
  onChoose: (item: string) => void;
}) {
  const [wanted, setWanted] = useState("");
  const loaded = findParts.use();
  const isNear = ({ id }: { id: string }) =>
    near.area === undefined || id.split(".")[0] === near.area;
  const isSearched = wanted.trim() !== "" && loaded !== null;
  const shown = useMemo(
    () => (isSearched ? loaded.checksBy(visit, wanted) : checksOf(visit).filter(isNear)),
    [visit, wanted, loaded],
  );
  return (
    <div class="check-search">
      <input
        type="search"
        aria-label={text("capture-search")}
        placeholder={text("capture-search")}
        value={wanted}
        onInput={({ currentTarget }) => setWanted(currentTarget.value)}
      />
      {shown.length === 0 && <p role="status">{text("capture-search-none")}</p>}
      <ul class="rows">
        {shown.slice(0, MOST_SHOWN).map(({ id, title }) => (
          <li key={id}>
            <button type="button" class="row row-button" onClick={() => onChoose(id)}>
              <span class="row-title">{title}</span>
            </button>
          </li>
        ))}
      </ul>
      {shown.length > MOST_SHOWN && (
        <p class="hint">{text("capture-search-more", { count: shown.length - MOST_SHOWN })}</p>
      )}
    </div>
  );
}
