/** The stops that were made: when, at which mileage, and what was not fine. */

import type { DriveLeg, Driving } from "../../../../shared/contract";
import type { Json } from "../../../../shared/event";
import { text } from "../../../text/catalogue";
import { readableDay } from "../../../text/formats";
import { decimal } from "../../../text/measures";
import { withUnit } from "../../../text/names";
import { region } from "../../../text/region";
import { numbers } from "../../../text/typed";
import {
  HOME,
  replyOf,
  rowsAt,
  rowTitle,
  START,
  stateOf,
  stopTitle,
  wasAt,
} from "../../../visit/after/driving";
import type { Visit } from "../../../visit/visit";

function field(value: Json, key: string): string {
  if (typeof value !== "object" || value === null || Array.isArray(value)) return "";
  const found = value[key];
  return typeof found === "string" ? found : "";
}

/** "Dec 1, 2026 · 14:05 · 142,018 mi" */
function whenAndWhere(visit: Visit, stop: number | typeof HOME): string {
  const parked = visit.value(`drive/${stop}/parked`);
  const odometer = visit.value(`drive/${stop}/odometer`);
  const [day, typed] = [field(parked, "date"), field(odometer, "typed")];
  const [figure] = numbers(typed, region.value, true);
  return [
    day && readableDay(day),
    field(parked, "time"),
    typed && withUnit(figure === undefined ? typed : decimal(figure), field(odometer, "unit")),
  ]
    .filter((part) => part !== "")
    .join(" · ");
}

interface Props {
  visit: Visit;
  driving: Driving;
  leg: DriveLeg;
}

function Stop({ visit, driving, leg, stop }: Props & { stop: number }) {
  const rows = rowsAt(driving, stop).filter((row) => replyOf(visit, row) !== null);
  const fine = rows.filter((row) => stateOf(visit, row) === "fine").length;
  return (
    <li data-logged={stop}>
      <strong>{stopTitle(leg, stop)}</strong>
      <p class="hint">{whenAndWhere(visit, stop)}</p>
      <p>{text("driving-fine", { count: fine })}</p>
      {rows
        .filter((row) => stateOf(visit, row) !== "fine")
        .map((row) => {
          const answer = row.sign.choices.find(({ id }) => id === replyOf(visit, row))?.title ?? "";
          const args = { sign: rowTitle(row), answer };
          const isMended = stateOf(visit, row) === "mended";
          return (
            <p key={`${row.sign.id} ${row.place}`}>
              {text(isMended ? "driving-log-mended" : "driving-log", args)}
            </p>
          );
        })}
    </li>
  );
}

export function DriveLog({ visit, driving, leg }: Props) {
  const stops: number[] = [];
  const isAnswered = (stop: number) =>
    rowsAt(driving, stop).some((row) => replyOf(visit, row) !== null);
  for (let stop = START; wasAt(visit, stop); stop += 1) if (isAnswered(stop)) stops.push(stop);
  if (stops.length === 0) return null;
  return (
    <section aria-label={text("driving-stops")}>
      <h2>{text("driving-stops")}</h2>
      <ol class="drive-list">
        {stops.map((stop) => (
          <Stop key={stop} {...{ visit, driving, leg, stop }} />
        ))}
        {wasAt(visit, HOME) && (
          <li data-logged={HOME}>
            <strong>{stopTitle(leg, HOME)}</strong>
            <p class="hint">{whenAndWhere(visit, HOME)}</p>
          </li>
        )}
      </ol>
    </section>
  );
}
