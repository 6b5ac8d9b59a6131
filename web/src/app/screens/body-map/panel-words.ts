/** What is known of a panel, in words and in this person's units. */

import type { BodyStyle } from "../../../shared/contract";
import { preferences } from "../../state/this-page";
import { catalogue, text } from "../../text/catalogue";
import { listed } from "../../text/formats";
import { converted, decimal } from "../../text/measures";
import { placeName, withUnit } from "../../text/names";
import { filmReading, type PanelState } from "../../visit/body/body-panels";
import { usualUnit } from "../../visit/items/item-readings";
import type { Visit } from "../../visit/visit";

function wantedUnit(visit: Visit, unit: string): string {
  const reading = filmReading(visit);
  return reading === undefined ? unit : usualUnit(reading, preferences.value.units);
}

/** A paint film as this person measures it, whatever it was read in. */
function filmText(visit: Visit, figure: string, unit: string): string {
  const wanted = wantedUnit(visit, unit);
  return withUnit(decimal(converted(figure, unit, wanted)), wanted);
}

/** The same for the drawing: bare, and no longer than four signs. */
export function filmFigure(visit: Visit): (figure: string, unit: string) => string {
  return (figure, unit) => {
    const number = Number(converted(figure, unit, wantedUnit(visit, unit)));
    return number < 100
      ? decimal(String(Math.round(number * 10) / 10))
      : String(Math.round(number));
  };
}

/** What a place is called within the drawing, where there is room for a word. */
export function placeWord(style: BodyStyle, place: string): string {
  if (place === "cargo") return text("phone-map-word-cargo", { style });
  const short = `phone-map-word-${place}`;
  return catalogue.has(short) ? catalogue.find(short) : placeName(place);
}

function deviationOf(visit: Visit, { deviation, unit }: PanelState): string {
  const id = deviation.startsWith("-") ? "phone-map-under" : "phone-map-over";
  return text(id, { measure: filmText(visit, deviation.replace(/^-/, ""), unit) });
}

export function sentenceOf(visit: Visit, state: PanelState): string {
  const parts: string[] = [];
  if (state.film !== "") parts.push(filmText(visit, state.film, state.unit));
  if (state.finish !== null) parts.push(text(`phone-map-finish-${state.finish}`));
  if (state.deviation !== "" && state.finish !== null) parts.push(deviationOf(visit, state));
  for (const { title } of state.marks) parts.push(title);
  return parts.length === 0 ? text("phone-map-nothing") : listed(parts);
}
