/** The readings of an item, and the number of cylinders where they are taken by cylinder. */

import type { Item, ItemJudgment } from "../../../shared/contract";
import { isCylinder } from "../../text/names";
import { cylindersOf } from "../../visit/item-readings";
import type { Visit } from "../../visit/visit";
import { CylinderCount } from "./cylinder-count";
import { ReadingGroup } from "./reading-group";

export function ItemReadings({
  visit,
  item,
  onPreview,
}: {
  visit: Visit;
  item: Item;
  onPreview: (judged: ItemJudgment | null) => void;
}) {
  const readings = item.readings ?? [];
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
