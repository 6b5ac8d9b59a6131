/** Choose a check by its words; those around where something was captured stand there first. */

import { useState } from "preact/hooks";
import { text } from "../../text/catalogue";
import type { Near } from "../../visit/capture/captured";
import type { Visit } from "../../visit/visit";
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
  const words = wanted.toLowerCase().split(/\s+/).filter(Boolean);
  const areaOf = (id: string) => id.split(".")[0];
  const fits = ({ id, title, look }: { id: string; title: string; look: string }) => {
    if (words.length === 0) return near.area === undefined || areaOf(id) === near.area;
    const all = `${title} ${look}`.toLowerCase();
    return words.every((word) => all.includes(word));
  };
  const found = checksOf(visit).filter(fits);
  // a word of the title says more than one of the instructions
  const isNamed = ({ title }: { title: string }) =>
    words.every((word) => title.toLowerCase().includes(word));
  const shown = [...found.filter(isNamed), ...found.filter((one) => !isNamed(one))];
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
