/** The panels of the body map: their names, and which items and readings lie on them. */

import type { Item, Reading } from "../../shared/contract";
import type { Visit } from "./visit";

export const PANELS = [
  "bonnet",
  "roof",
  "boot-lid",
  "front-wing-left",
  "front-door-left",
  "rear-door-left",
  "rear-wing-left",
  "sill-left",
  "front-wing-right",
  "front-door-right",
  "rear-door-right",
  "rear-wing-right",
  "sill-right",
] as const;

export type Panel = (typeof PANELS)[number];

/** Items of rust whose answer belongs to a panel as a whole. */
const RUST: { of: RegExp; item: string }[] = [
  { of: /^(front|rear)-wing/, item: "rust.arches" },
  { of: /-door|boot-lid/, item: "rust.door-bottoms" },
  { of: /^(bonnet|roof|front-wing)/, item: "rust.wings-bonnet" },
  { of: /^sill/, item: "rust.sills" },
];

/** Places named by wheel or side that lie on a panel. */
function otherPlaces(panel: Panel): string[] {
  const side = panel.endsWith("-left") ? "left" : panel.endsWith("-right") ? "right" : "";
  if (panel.startsWith("sill")) return [side];
  if (panel.startsWith("front-wing")) return [`front-${side}`];
  if (panel.startsWith("rear-wing")) return [`rear-${side}`];
  if (panel === "bonnet") return ["bonnet-left", "bonnet-right"];
  if (panel === "boot-lid") return ["boot-left", "boot-right"];
  return [];
}

function onPanel(place: string, panel: Panel): boolean {
  return place === panel || place.startsWith(`${panel}-`) || otherPlaces(panel).includes(place);
}

function narrowed(item: Item, panel: Panel): Item | null {
  const readings: Reading[] = [];
  for (const reading of item.readings ?? []) {
    const at = (reading.at ?? []).filter((place) => onPanel(place, panel));
    if (at.length > 0) readings.push({ ...reading, at });
  }
  return readings.length === 0 ? null : { ...item, readings };
}

const FILM = "accident.paint-film";
const GAPS = "accident.gaps";
export const MARKS = "body.panels";

export interface OnPanel {
  /** Items with only the readings that lie on this panel. */
  film: Item | null;
  gaps: Item | null;
  marks: Item | null;
  /** Items whose answer stands for the panel. */
  rust: Item[];
}

export function onThis(visit: Visit, panel: Panel): OnPanel {
  const find = (id: string) => visit.bundle.items.find((item) => item.id === id);
  const part = (id: string) => {
    const item = find(id);
    return item === undefined ? null : narrowed(item, panel);
  };
  const rust = RUST.filter(({ of }) => of.test(panel)).flatMap(({ item }) => {
    const found = find(item);
    return found === undefined ? [] : [narrowed(found, panel) ?? { ...found, readings: [] }];
  });
  return { film: part(FILM), gaps: part(GAPS), marks: part(MARKS), rust };
}

export type Finish = "original" | "repainted" | "filler" | "thin" | "no-reading";

export interface PanelState {
  /** Paint film, µm as text; "" while there is no reading. */
  film: string;
  /** From the car's own baseline, µm as text. */
  deviation: string;
  finish: Finish | null;
  /** Names of marks: dent, rust, repair. */
  marks: string[];
}

/** What a panel shows on the map: the judge's facts, and the marks as they were tapped. */
export function stateOf(visit: Visit, panel: Panel): PanelState {
  const facts = visit.judged(FILM)?.facts ?? {};
  const text = (name: string) => {
    const value = facts[`${name}.${panel}`]?.value;
    return value === undefined || value === null ? "" : String(value);
  };
  const finish = text("finish");
  const marks = ["dent", "rust", "repair"].filter(
    (mark) => visit.value(`items/${MARKS}/readings/${mark}/${panel}`) !== null,
  );
  return {
    film: text("panel"),
    deviation: text("deviation"),
    finish: finish === "" ? null : (finish as Finish),
    marks,
  };
}
