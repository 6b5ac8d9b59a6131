/** Who has which stage. Nobody is kept out: it says what the other need not begin with. */

import { text } from "../../text/catalogue";
import type { Change } from "../visit";
import type { Turns, VisitView } from "../visit-view";
import type { Page } from "../walk-order";
import { deviceOf, type People } from "./people";

const TAKEN = "taken/";

/** The device whose person has a stage; null where nobody has. */
export function holderOf(visit: VisitView, stage: string): string | null {
  const cell = visit.besideItems()[`${TAKEN}${stage}`];
  return cell?.value === true ? deviceOf(cell.at) : null;
}

/** What takes a stage, over whoever has it, or hands it back. */
export function takingChange(stage: string, isTaken: boolean): Change {
  return { put: `${TAKEN}${stage}`, value: isTaken ? true : null };
}

/** A stage that somebody has, and how far it is. */
export interface Held {
  stage: string;
  title: string;
  device: string;
  who: string;
  isOwn: boolean;
  done: number;
  total: number;
}

export function heldStages(visit: VisitView, people: People, stages: Page[]): Held[] {
  return stages.flatMap(({ id, title, items, open }) => {
    const device = holderOf(visit, id);
    if (device === null) return [];
    return {
      ...{ stage: id, title, device, who: people.nameOf(device), isOwn: people.isOwn(device) },
      ...{ done: items.length - open.length, total: items.length },
    };
  });
}

/** How far a stage is and whose it is: "Ana: 7 of 19". */
export function farText({ who, done, total }: Held): string {
  return text("together-far", { who, done, total });
}

/** What comes first in the walk: one's own stages, then nobody's, then those of others. */
export function turnsOf(visit: VisitView, people: People): Turns {
  const turns: Turns = {};
  if (people.others.length === 0) return turns;
  for (const { id } of visit.bundle.stages) {
    const device = holderOf(visit, id);
    if (device !== null) turns[id] = people.isOwn(device) ? -1 : 1;
  }
  return turns;
}
