/** The same must-haves as another car's: only then do two cars compare. */

import { useEffect, useState } from "preact/hooks";
import type { Cells } from "../../../../shared/event";
import { page } from "../../../state/this-page";
import { text } from "../../../text/catalogue";
import { withWants } from "../../../visit/before/purpose/compared";
import { copied } from "../../../visit/before/purpose/wants";
import type { Visit } from "../../../visit/visit";

const MOST = 4;

export function FromOther({ visit }: { visit: Visit }) {
  const [cars, setCars] = useState<{ name: string; visit: string; cells: Cells }[]>([]);
  useEffect(() => {
    void withWants(page, visit.id).then(setCars);
  }, [visit]);
  const left = cars.filter(({ cells }) => copied(cells, visit.besideItems()).length > 0);
  if (left.length === 0) return null;
  return (
    <ul class="want-offers" aria-label={text("purpose-same")}>
      {left.slice(0, MOST).map(({ name, visit: other, cells }) => (
        <li key={other}>
          <button
            type="button"
            onClick={() =>
              void visit.put(
                copied(cells, visit.besideItems()),
                text("purpose-same-taken", { car: name }),
              )
            }
          >
            {text("purpose-same-as", { car: name })}
          </button>
        </li>
      ))}
    </ul>
  );
}
