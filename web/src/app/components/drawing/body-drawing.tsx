/**
 * The body map's own drawing: the car from its left, from above and from its right, panel by
 * panel. Each panel shows its figure, and by a pattern what the paint on it is; a ring marks a
 * dent, a cross rust, a bar an old repair. The list below says the same in words.
 */

import type { ComponentChildren } from "preact";
import type { Panel } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { type Finish, PANELS, type PanelState } from "../../visit/body-panels";
import {
  FRONT_WHEEL,
  GLASS_SIDE,
  GLASS_TOP,
  REAR_WHEEL,
  SHELL_TOP,
  type Shape,
  SIDE,
  TOP,
  TRIM_SIDE,
} from "./car-outline";

import "./body-drawing.css";

function Marks({ marks, x, y }: { marks: Set<string>; x: number; y: number }) {
  return (
    <>
      {marks.has("dent") && <circle class="mark" cx={x - 16} cy={y - 11} r="4" />}
      {marks.has("rust") && <path class="mark" d={`M${x - 4} ${y - 15} l8 8 m0 -8 l-8 8`} />}
      {marks.has("repair") && <path class="mark" d={`M${x + 11} ${y - 11} h10`} />}
    </>
  );
}

function fill(finish: Finish | null): string {
  return finish === null || finish === "original" ? "" : ` panel-${finish}`;
}

function PanelShape({
  name,
  shape,
  mirrored,
  state,
  chosen,
  onChoose,
}: {
  name: Panel;
  shape: Shape;
  mirrored: boolean;
  state: PanelState;
  chosen: boolean;
  onChoose: (panel: Panel) => void;
}) {
  const [x, y] = shape.at;
  const shown = mirrored ? 320 - x : x;
  return (
    // the list below is the way for keyboard and screen reader; this is its picture
    // biome-ignore lint/a11y/noStaticElementInteractions: see above
    <g
      class={chosen ? "panel panel-chosen" : "panel"}
      data-panel={name}
      onClick={() => onChoose(name)}
    >
      <g {...(mirrored ? { transform: "translate(320 0) scale(-1 1)" } : {})}>
        {shape.wheel !== undefined && <circle class="wheel" cx={shape.wheel} cy="92" r="20" />}
        <path class={`panel-sheet${fill(state.finish)}`} d={shape.path} />
        {state.finish !== null && state.finish !== "original" && (
          <path class="panel-pattern" d={shape.path} fill={`url(#pattern-${state.finish})`} />
        )}
      </g>
      <text class="panel-figure" x={shown} y={y + 5} text-anchor="middle">
        {state.film === "" ? "" : Math.round(Number(state.film))}
      </text>
      <Marks marks={new Set(state.marks.map(({ id }) => id))} x={shown} y={y} />
    </g>
  );
}

/** Lamps, bumpers, handles and hubs of one side: seen, never tapped. */
function Trim() {
  return (
    <g class="trim">
      <path class="glass" d={TRIM_SIDE} />
      <circle class="glass" cx={FRONT_WHEEL} cy="92" r="9" />
      <circle class="glass" cx={REAR_WHEEL} cy="92" r="9" />
    </g>
  );
}

function View({
  label,
  height,
  children,
}: {
  label: string;
  height: number;
  children: ComponentChildren;
}) {
  return (
    <figure class="view">
      <figcaption>{label}</figcaption>
      <svg viewBox={`0 0 320 ${height}`} aria-hidden="true">
        {children}
      </svg>
    </figure>
  );
}

function Patterns() {
  return (
    <svg class="patterns" width="0" height="0" aria-hidden="true">
      <defs>
        <pattern id="pattern-repainted" width="8" height="8" patternUnits="userSpaceOnUse">
          <path d="M0 8 L8 0 M-2 2 L2 -2 M6 10 L10 6" />
        </pattern>
        <pattern id="pattern-filler" width="7" height="7" patternUnits="userSpaceOnUse">
          <path d="M0 0 L7 7 M7 0 L0 7" />
        </pattern>
        <pattern id="pattern-thin" width="7" height="7" patternUnits="userSpaceOnUse">
          <circle cx="2" cy="2" r="1.2" />
        </pattern>
        <pattern id="pattern-no-reading" width="6" height="6" patternUnits="userSpaceOnUse">
          <path d="M0 3 H6 M3 0 V6" />
        </pattern>
      </defs>
    </svg>
  );
}

export function BodyDrawing({
  states,
  chosen,
  onChoose,
}: {
  states: Record<Panel, PanelState>;
  chosen: Panel | null;
  onChoose: (panel: Panel) => void;
}) {
  const shape = (name: Panel, drawn: Shape, mirrored: boolean) => (
    <PanelShape
      key={name}
      name={name}
      shape={drawn}
      mirrored={mirrored}
      state={states[name]}
      chosen={chosen === name}
      onChoose={onChoose}
    />
  );
  const side = (which: "left" | "right") =>
    PANELS.filter((name) => name.endsWith(`-${which}`)).map((name) => {
      const drawn = SIDE[name.slice(0, -which.length - 1) as keyof typeof SIDE];
      return shape(name, drawn, which === "right");
    });
  return (
    <div class="drawing">
      <Patterns />
      <View label={text("phone-map-view-left")} height={116}>
        <path class="glass" d={GLASS_SIDE} />
        {side("left")}
        <Trim />
      </View>
      <View label={text("phone-map-view-top")} height={132}>
        <path class="glass" d={SHELL_TOP} />
        <path class="glass" d={GLASS_TOP} />
        {(["bonnet", "roof", "boot-lid"] as const).map((name) => shape(name, TOP[name], false))}
      </View>
      <View label={text("phone-map-view-right")} height={116}>
        <g transform="translate(320 0) scale(-1 1)">
          <path class="glass" d={GLASS_SIDE} />
        </g>
        {side("right")}
        <g transform="translate(320 0) scale(-1 1)">
          <Trim />
        </g>
      </View>
    </div>
  );
}
