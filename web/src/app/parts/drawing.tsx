/**
 * The body map's own drawing: the car from its left, from above and from its right, panel by
 * panel. Each panel shows its figure, and by a pattern what the paint on it is; a ring marks a
 * dent, a cross rust, a bar an old repair. The list below says the same in words.
 */

import type { ComponentChildren } from "preact";
import { type Finish, PANELS, type Panel, type PanelState } from "../panels";

interface Shape {
  path: string;
  /** Where the figure stands. */
  at: [x: number, y: number];
  /** The wheel that stands in a wing's arch: a thumb that lands on it means the wing. */
  wheel?: number;
}

// one side, nose to the left; the other side is its mirror image
const SIDE: Record<"front-wing" | "front-door" | "rear-door" | "rear-wing" | "sill", Shape> = {
  "front-wing": {
    path: "M10 76 V62 Q14 50 46 47 L98 44 L104 80 H94 A24 24 0 0 0 46 80 L14 80 Z",
    at: [64, 54],
    wheel: 70,
  },
  "front-door": { path: "M99 44 H166 V80 H105 Z", at: [136, 63] },
  "rear-door": { path: "M168 44 H232 Q222 58 222 80 H168 Z", at: [195, 63] },
  "rear-wing": {
    path: "M234 44 L298 47 Q308 52 309 64 L308 80 H286 A24 24 0 0 0 238 80 H224 Q224 58 234 44 Z",
    at: [272, 54],
    wheel: 262,
  },
  sill: { path: "M96 82 H236 V104 H96 Z", at: [166, 94] },
};

const TOP: Record<"bonnet" | "roof" | "boot-lid", Shape> = {
  bonnet: {
    path: "M12 66 Q14 30 34 24 L104 18 Q96 66 104 114 L34 108 Q14 102 12 66 Z",
    at: [58, 66],
  },
  roof: {
    path: "M130 26 Q172 20 212 26 Q220 66 212 106 Q172 112 130 106 Q122 66 130 26 Z",
    at: [172, 66],
  },
  "boot-lid": {
    path: "M246 20 L296 26 Q310 40 310 66 Q310 92 296 106 L246 112 Q254 66 246 20 Z",
    at: [280, 66],
  },
};

const GLASS_SIDE = "M108 42 L134 18 Q150 14 166 14 V42 Z M170 14 Q200 14 214 20 L236 42 H170 Z";
const GLASS_TOP =
  "M108 20 L128 26 Q120 66 128 106 L108 112 Q100 66 108 20 Z M216 26 L242 20 Q250 66 242 112 L216 106 Q224 66 216 26 Z";

function Marks({ marks, x, y }: { marks: string[]; x: number; y: number }) {
  return (
    <>
      {marks.includes("dent") && <circle class="mark" cx={x - 16} cy={y - 11} r="4" />}
      {marks.includes("rust") && <path class="mark" d={`M${x - 4} ${y - 15} l8 8 m0 -8 l-8 8`} />}
      {marks.includes("repair") && <path class="mark" d={`M${x + 11} ${y - 11} h10`} />}
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
        {shape.wheel !== undefined && <circle class="wheel" cx={shape.wheel} cy="82" r="18" />}
        <path class={`panel-sheet${fill(state.finish)}`} d={shape.path} />
        {state.finish !== null && state.finish !== "original" && (
          <path class="panel-pattern" d={shape.path} fill={`url(#pattern-${state.finish})`} />
        )}
      </g>
      <text class="panel-figure" x={shown} y={y + 5} text-anchor="middle">
        {state.film === "" ? "" : Math.round(Number(state.film))}
      </text>
      <Marks marks={state.marks} x={shown} y={y} />
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

export function Patterns() {
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

export function Drawing({
  states,
  chosen,
  onChoose,
  labels,
}: {
  states: Record<Panel, PanelState>;
  chosen: Panel | null;
  onChoose: (panel: Panel) => void;
  labels: { left: string; top: string; right: string };
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
      <View label={labels.left} height={108}>
        <path class="glass" d={GLASS_SIDE} />
        {side("left")}
      </View>
      <View label={labels.top} height={132}>
        <path class="glass" d={GLASS_TOP} />
        {(["bonnet", "roof", "boot-lid"] as const).map((name) => shape(name, TOP[name], false))}
      </View>
      <View label={labels.right} height={108}>
        <g transform="translate(320 0) scale(-1 1)">
          <path class="glass" d={GLASS_SIDE} />
        </g>
        {side("right")}
      </View>
    </div>
  );
}
