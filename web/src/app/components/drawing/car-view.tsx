/** One view of the car: its shapes, then on them figures and marks. What is tapped bears its place. */

import { MARK_GROUND, MARK_SHAPE, type MarkId } from "../../../shared/marks";
import type { Finish, PanelState } from "../../visit/body/body-panels";
import { type Box, type Outline, type Shape, TAPS } from "./outlines";

export type ViewName = "left" | "plan" | "right";

export interface Drawn {
  outline: Outline;
  states: ReadonlyMap<string, PanelState>;
  /** What was found at a place, and whether to look there next. */
  tags: ReadonlyMap<string, readonly MarkId[]>;
  chosen: string | null;
  /** What a place is called within the drawing: a word. */
  word: (place: string) => string;
}

/** The room of a mark, in centimeters: two of them stand beside each other with a gap. */
const CELL = { wide: 20, high: 18 };
const MARK = { scale: 0.49, high: 11.8 };
/** What the word of a low field takes of its width. */
const WORD_WIDE = 102;
/** Places whose room is drawn as a dashed field, with their word in it. */
const FIELDS = new Set([
  ...["engine-bay", "cabin", "cargo"],
  ...["underside-front", "underside-middle", "underside-rear"],
]);

function patternOf(finish: Finish | null): string | null {
  return finish === null || finish === "original" ? null : finish;
}

/** A panel with its side: what is drawn in the plan is one, what is drawn from a side is two. */
export function panelId({ plan }: Outline, view: ViewName, panel: string): string {
  return view === "plan" || panel in plan.panels ? panel : `${panel}-${view}`;
}

function Panel({ id, shape, drawn }: { id: string; shape: Shape; drawn: Drawn }) {
  const finish = patternOf(drawn.states.get(id)?.finish ?? null);
  return (
    <g class={drawn.chosen === id ? "panel panel-chosen" : "panel"} data-panel={id}>
      <path class={`panel-sheet panel-${finish ?? "plain"}`} d={shape.path} />
      {finish !== null && (
        <path class="panel-pattern" d={shape.path} fill={`url(#pattern-${finish})`} />
      )}
    </g>
  );
}

function Wheel({
  x,
  y,
  r,
  place,
  drawn,
}: { [key in "x" | "y" | "r"]: number } & {
  place: string;
  drawn: Drawn;
}) {
  return (
    <g class={drawn.chosen === place ? "panel panel-chosen" : "panel"} data-place={place}>
      <circle class="reach" cx={x} cy={y} r={r + 8} />
      <circle class="tire panel-edge" cx={x} cy={y} r={r} />
      <circle class="rim" cx={x} cy={y} r={r * 0.62} />
      <circle class="line" cx={x} cy={y} r={r * 0.2} />
    </g>
  );
}

/** The tags of a place, and what was tapped on the panel, in rows. */
function Marks({
  room,
  tags = [],
  marks = [],
}: {
  room: Box;
  tags: readonly MarkId[] | undefined;
  marks?: string[] | undefined;
}) {
  const [x, y, wide, high] = room;
  const columns = Math.max(1, Math.floor(wide / CELL.wide));
  const rows = Math.max(1, Math.floor(high / CELL.high));
  const all = [...tags, ...marks].slice(0, columns * rows);
  return (
    <>
      {all.map((mark, index) => {
        const left = x + (index % columns) * CELL.wide;
        const top = y + Math.floor(index / columns) * CELL.high;
        const middle = `translate(${left + CELL.wide / 2} ${top + CELL.high / 2})`;
        if (isTag(mark)) {
          const at = `translate(${left} ${top + (CELL.high - MARK.high) / 2})`;
          return (
            <g key={mark} class={`tag tag-${mark}`} transform={`${at} scale(${MARK.scale})`}>
              <path class="tag-ground" d={MARK_GROUND} />
              <path d={MARK_SHAPE[mark]} fill-rule="evenodd" />
            </g>
          );
        }
        return <path key={mark} class="tapped" d={TAPS[mark] ?? TAPS.other} transform={middle} />;
      })}
    </>
  );
}

function isTag(mark: string): mark is MarkId {
  return mark in MARK_SHAPE;
}

function flipped(room: Box, length: number | null): Box {
  const [x, y, wide, high] = room;
  return length === null ? room : [length - x - wide, y, wide, high];
}

/** Figure and marks of a panel; the room of both is that of the drawing, mirrored with it. */
function OnPanel({
  id,
  shape,
  drawn,
  length,
}: {
  id: string;
  shape: Shape;
  drawn: Drawn;
  length: number | null;
}) {
  if (shape.label === undefined || shape.marks === undefined) return null;
  const state = drawn.states.get(id);
  const [x, y] = shape.label;
  return (
    <g data-on={id}>
      <text class="panel-figure" x={length === null ? x : length - x} y={y + 6.5}>
        {state?.shown ?? ""}
      </text>
      <Marks
        room={flipped(shape.marks, length)}
        tags={drawn.tags.get(id)}
        marks={state?.marks.map((mark) => mark.id)}
      />
    </g>
  );
}

function Place({ place, room, drawn }: { place: string; room: Box; drawn: Drawn }) {
  const [x, y, wide, high] = room;
  const isField = FIELDS.has(place);
  const kind = isField ? "field" : "spot";
  // the word stands in the first line of its field; marks come below it, or beside it in a low one
  const isLow = high < 2 * CELL.high;
  const tags = drawn.tags.get(place) ?? [];
  const beside = Math.min(CELL.wide * tags.length, Math.max(CELL.wide, wide - WORD_WIDE));
  const below: Box = isLow ? [x + wide - beside, y + 2, beside, high] : [x + 4, y + 18, wide, 18];
  return (
    <g class={drawn.chosen === place ? `${kind} panel-chosen` : kind} data-place={place}>
      <rect class="panel-edge" x={x} y={y} width={wide} height={high} rx="5" />
      {isField && (
        <text class="field-word" x={isLow ? x + 6 : x + wide / 2} y={y + 16} data-low={isLow}>
          {drawn.word(place)}
        </text>
      )}
      <Marks room={isField ? below : room} tags={tags} />
    </g>
  );
}

export function CarView({ view, drawn }: { view: ViewName; drawn: Drawn }) {
  const { outline } = drawn;
  const { length, side, plan } = outline;
  const shown = view === "plan" ? plan : side;
  const isRight = view === "right";
  const turned = isRight ? length : null;
  const shapes = Object.entries(shown.panels).map(
    ([panel, shape]) => [panelId(outline, view, panel), shape] as const,
  );
  const trim = shown.trim + ((isRight && side.trim_right) || "");
  return (
    <svg viewBox={`-5 0 ${outline.wide + 10} ${shown.high}`} aria-hidden="true">
      <g {...(isRight ? { transform: `translate(${length} 0) scale(-1 1)` } : {})}>
        {view !== "plan" && <path class="line" d={`M0 ${side.ground}H${length}`} />}
        <path class="shell" d={shown.shell} />
        {view !== "plan" &&
          side.wheels.map(([x, y, r], index) => {
            const place = `${index === 0 ? "front" : "rear"}-${view}`;
            return <Wheel key={place} x={x} y={y} r={r} place={place} drawn={drawn} />;
          })}
        {shapes.map(([id, shape]) => (
          <Panel key={id} id={id} shape={shape} drawn={drawn} />
        ))}
        <g class={drawn.chosen === "glass" ? "panel panel-chosen" : "panel"} data-place="glass">
          <path class="glass panel-edge" d={shown.glass} />
        </g>
        <path class="line" d={trim} />
        <path class="crease" d={shown.crease} />
      </g>
      {Object.entries(shown.places).map(([place, room]) => (
        <Place key={place} place={place} room={flipped(room, turned)} drawn={drawn} />
      ))}
      {view !== "plan" &&
        side.wheels.map(([x, y], index) => {
          const place = `${index === 0 ? "front" : "rear"}-${view}`;
          const tags = drawn.tags.get(place) ?? [];
          const wide = CELL.wide * tags.length;
          const room: Box = [x - wide / 2, y - CELL.high / 2, wide, CELL.high];
          return <Marks key={place} room={flipped(room, turned)} tags={tags} />;
        })}
      {shapes.map(([id, shape]) => (
        <OnPanel key={id} id={id} shape={shape} drawn={drawn} length={turned} />
      ))}
    </svg>
  );
}

/** A car of a style, small, from its left. */
export function Silhouette({ outline }: { outline: Outline }) {
  const { length, side } = outline;
  return (
    <svg class="silhouette" viewBox={`-5 0 ${length + 10} ${side.ground + 4}`} aria-hidden="true">
      <path class="shell" d={side.shell} />
      {side.wheels.map(([x, y, r]) => (
        <circle key={x} class="tire" cx={x} cy={y} r={r} />
      ))}
      {Object.entries(side.panels).map(([panel, { path }]) => (
        <path key={panel} class="panel-sheet" d={path} />
      ))}
      <path class="glass" d={side.glass} />
    </svg>
  );
}
