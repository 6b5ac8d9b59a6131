/**
 * The outlines of `server/bradawl/design/outlines`, as the build takes them along. They are large:
 * import this module only from what is loaded when the map is looked at.
 */

import finishes from "../../../../../server/bradawl/design/finishes.json";
import type { BodyStyle } from "../../../shared/contract";

/** x, y, width, height in centimeters, y downward. */
export type Box = [x: number, y: number, wide: number, high: number];

export interface Shape {
  path: string;
  /** The middle of the panel's figure; only in the view that shows it. */
  label?: [x: number, y: number];
  /** Room for marks. */
  marks?: Box;
}

interface View {
  high: number;
  shell: string;
  glass: string;
  trim: string;
  crease: string;
  panels: Record<string, Shape>;
  places: Record<string, Box>;
}

/** One side, nose to the left; the other is its mirror image. */
export interface Side extends View {
  ground: number;
  trim_right?: string;
  /** Front and rear: x, y, radius. */
  wheels: [[number, number, number], [number, number, number]];
}

/** A car of one body style, in centimeters. */
export interface Outline {
  length: number;
  /** Room that a view takes, with what is drawn folded open behind the car. */
  wide: number;
  side: Side;
  plan: View;
}

export const PATTERNS = Object.entries(finishes.finishes);

/** What is tapped on a panel, each a path about its middle; a shop's own has a frame. */
export const TAPS: Record<string, string> & { other: string } = finishes.taps;

const FILES = import.meta.glob<Outline>("../../../../../server/bradawl/design/outlines/*.json", {
  eager: true,
  import: "default",
});
const BY_STYLE = new Map(
  Object.entries(FILES).map(([path, outline]) => [/(\w+)\.json$/.exec(path)?.[1], outline]),
);

/** The order in which a person is offered them: what is seen most first. */
export const STYLES: BodyStyle[] = [
  ...(["sedan", "coupe", "hatchback", "wagon", "suv", "pickup", "van", "convertible"] as const),
];

export function outlineOf(style: BodyStyle): Outline {
  const outline = BY_STYLE.get(style);
  if (outline === undefined) throw new Error(`no outline of ${style}`);
  return outline;
}

/** The panels of an outline with their sides, in the order of a walk around the car. */
export function panelsOf({ side, plan }: Outline): string[] {
  const above = Object.keys(plan.panels);
  const sided = Object.keys(side.panels).filter((panel) => !above.includes(panel));
  const [nose = "", ...behind] = above;
  const left = sided.map((panel) => `${panel}-left`);
  const right = sided.map((panel) => `${panel}-right`).reverse();
  return [nose, ...left, ...behind, ...right];
}

export const WHEELS = ["front-left", "front-right", "rear-left", "rear-right"];

/** Places of an outline that are no panel. */
export function placesOf({ side, plan }: Outline): string[] {
  return [...Object.keys(plan.places), ...WHEELS, ...Object.keys(side.places)];
}
