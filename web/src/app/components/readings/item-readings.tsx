/** The readings of an item, and the number of cylinders where they are taken by cylinder. */

import type { Item, ItemJudgment, Reading } from "../../../shared/contract";
import { isCylinder } from "../../text/names";
import { cylindersOf, placesOf, readingPut } from "../../visit/items/item-readings";
import type { Visit } from "../../visit/visit";
import { CylinderCount } from "./cylinder-count";
import { ReadingGroup } from "./reading-group";

/**
 * Whether a reading has its field here. A figure of the car's own has one where the check tells
 * nothing without it, and where it is known; the others wait among the car's details.
 */
function isShown(visit: Visit, item: Item, reading: Reading): boolean {
  if (reading.figure === undefined) return true;
  const isWanted = item.readings.some(({ wants }) => wants?.includes(reading.id));
  const places = reading.at ?? [];
  if (isWanted && (places.length === 0 || places.length > (reading.optional?.length ?? 0))) {
    return true;
  }
  const problems = visit.judged(item.id)?.problems ?? [];
  return (
    (isWanted && problems.some(({ code }) => code === "no_figure")) ||
    placesOf(visit, item, reading).some(
      (place) => visit.value(readingPut(visit, item, reading, place)) !== null,
    )
  );
}

export function ItemReadings({
  visit,
  item,
  onPreview,
}: {
  visit: Visit;
  item: Item;
  onPreview: (judged: ItemJudgment | null) => void;
}) {
  const readings = (item.readings ?? []).filter((reading) => isShown(visit, item, reading));
  const isByCylinder = readings.some(({ at }) => at?.some(isCylinder) === true);
  return (
    <>
      {isByCylinder && cylindersOf(visit) === null && <CylinderCount visit={visit} />}
      {readings.map((reading) => (
        <ReadingGroup
          key={reading.id}
          visit={visit}
          item={item}
          reading={reading}
          onPreview={onPreview}
        />
      ))}
    </>
  );
}
