/** The lines of the car on the body map: panels, and what is no panel. One side; the other mirrors it. */

export interface Shape {
  path: string;
  /** Where the figure stands. */
  at: [x: number, y: number];
  /** The wheel that stands in a wing's arch: a thumb that lands on it means the wing. */
  wheel?: number;
}

export const FRONT_WHEEL = 70;
export const REAR_WHEEL = 258;

// one side, nose to the left; the other side is its mirror image
export const SIDE: Record<"front-wing" | "front-door" | "rear-door" | "rear-wing" | "sill", Shape> =
  {
    "front-wing": {
      path: "M10 86 V60 Q12 48 44 44 L101 40 L104 79 H93.7 A27 27 0 0 0 43 92 H16 Q10 92 10 86 Z",
      at: [72, 57],
      wheel: FRONT_WHEEL,
    },
    "front-door": { path: "M103 40 H166 V79 H106 Z", at: [136, 65] },
    "rear-door": { path: "M168 40 H234 L231 62 Q229 72 229 79 H168 Z", at: [198, 65] },
    "rear-wing": {
      path: "M236 40 L294 43 Q308 46 310 60 V86 Q310 92 304 92 H285 A27 27 0 0 0 234.3 79 H231 Q231 72 233 62 Z",
      at: [268, 57],
      wheel: REAR_WHEEL,
    },
    sill: { path: "M95 81 H233 Q231 88 231 99 H97 Q97 88 95 81 Z", at: [164, 93] },
  };

export const TOP: Record<"bonnet" | "roof" | "boot-lid", Shape> = {
  bonnet: {
    path: "M16 66 Q16 30 38 26 L104 20 Q96 66 104 112 L38 106 Q16 102 16 66 Z",
    at: [60, 70],
  },
  roof: {
    path: "M132 28 Q172 23 214 28 Q221 66 214 104 Q172 109 132 104 Q125 66 132 28 Z",
    at: [172, 70],
  },
  "boot-lid": {
    path: "M248 22 L294 27 Q306 42 306 66 Q306 90 294 105 L248 110 Q256 66 248 22 Z",
    at: [280, 70],
  },
};

// what is no panel: windows, roof line, lamps, bumpers, handles, mirrors
export const GLASS_SIDE =
  "M109 38 L136 15 Q150 12 166 12 V38 Z M170 12 Q202 12 215 17 L237 38 H170 Z M102 39 L133 11 Q150 7 172 7 Q206 7 219 13 L246 40";
export const TRIM_SIDE =
  "M5 74 H22 V80 H5 Z M315 74 H298 V80 H315 Z M14 57 Q20 58 19 66 H11 M305 52 H301 V66 H310 M150 47 H161 M215 47 H226";
export const GLASS_TOP =
  "M108 22 L129 28 Q121 66 129 104 L108 110 Q100 66 108 22 Z M217 28 L244 22 Q252 66 244 110 L217 104 Q225 66 217 28 Z M116 17 L132 23 Q172 18 214 23 L234 17 Q172 13 116 17 Z M116 115 L132 109 Q172 114 214 109 L234 115 Q172 119 116 115 Z";
export const SHELL_TOP =
  "M8 66 Q8 22 34 17 L106 11 Q172 8 240 11 L298 17 Q314 34 314 66 Q314 98 298 115 L240 121 Q172 124 106 121 L34 115 Q8 110 8 66 Z M108 11 L112 4 H118 L120 10 M108 121 L112 128 H118 L120 122 M13 40 Q17 30 26 26 M13 92 Q17 102 26 106";
