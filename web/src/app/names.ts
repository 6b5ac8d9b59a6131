/** Names of places and stages as a person reads them. */

import { words } from "./words";

function plain(id: string): string {
  const spaced = id.replaceAll("-", " ").replaceAll("_", " ");
  return spaced.charAt(0).toUpperCase() + spaced.slice(1);
}

export function placeName(place: string): string {
  return words.places[place] ?? plain(place);
}

export function stageName(stage: string): string {
  return words.stage[stage] ?? plain(stage);
}
