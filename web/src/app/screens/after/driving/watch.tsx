/** What to watch on this car, and what to take along; each line says because of what. */

import type { DriveLine, DrivePlan, Driving } from "../../../../shared/contract";
import { text } from "../../../text/catalogue";
import { listed } from "../../../text/formats";
import type { Visit } from "../../../visit/visit";
import { titleOf } from "../../decision/item-links";

const NAMED = 3;

/** The first few by name, and how many more. */
function named(visit: Visit, items: string[]): string {
  const names = items.slice(0, NAMED).map((item) => titleOf(visit, item));
  const more = items.length - names.length;
  return listed(more > 0 ? [...names, text("driving-others", { count: more })] : names);
}

/** Why a line stands there: what was found, what nobody looked at. */
function Why({ visit, line, reason = "" }: { visit: Visit; line: DriveLine; reason?: string }) {
  return (
    <>
      {line.found.length > 0 && (
        <p class="hint">{text("driving-found", { items: named(visit, line.found) })}</p>
      )}
      {line.unseen.length > 0 && (
        <p class="hint">{text("driving-unseen", { items: named(visit, line.unseen) })}</p>
      )}
      {reason !== "" && <p class="hint">{reason}</p>}
    </>
  );
}

interface Props {
  visit: Visit;
  driving: Driving;
  plan: DrivePlan;
}

export function WatchList({ visit, driving, plan }: Props) {
  return (
    <section aria-label={text("driving-watch")}>
      <h2>{text("driving-watch")}</h2>
      {plan.watch.length === 0 && <p>{text("driving-watch-none")}</p>}
      <ul class="drive-list">
        {plan.watch.map((line) => (
          <li key={line.id} data-watch={line.id}>
            <strong>{driving.watch.find(({ id }) => id === line.id)?.title}</strong>
            <Why visit={visit} line={line} />
          </li>
        ))}
      </ul>
    </section>
  );
}

export function KitList({ visit, driving, plan }: Props) {
  return (
    <section aria-label={text("driving-kit")}>
      <h2>{text("driving-kit")}</h2>
      <ul class="drive-list">
        {plan.kit.map((line) => {
          const row = driving.kit.find(({ id }) => id === line.id);
          return (
            <li key={line.id} data-kit={line.id}>
              <strong>{row?.title}</strong>
              <Why visit={visit} line={line} reason={row?.reason ?? ""} />
            </li>
          );
        })}
      </ul>
    </section>
  );
}
