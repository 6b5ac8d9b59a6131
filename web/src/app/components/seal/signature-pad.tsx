/** A signature drawn with a finger: strokes of whole numbers in a box, as the seal records them. */

import { useEffect, useRef } from "preact/hooks";
import { text } from "../../text/catalogue";

import "./signature-pad.css";

/** As many numbers a stroke has at most: a finger that rests records no more. */
const STROKE_LIMIT = 4_000;

export interface Drawn {
  /** Each x, y, x, y, … in CSS pixels from the box's corner. */
  strokes: number[][];
  box: [width: number, height: number];
}

function paint(sheet: HTMLCanvasElement, strokes: number[][]): void {
  const pen = sheet.getContext("2d");
  if (pen === null) return;
  const scale = window.devicePixelRatio;
  const { width, height } = sheet.getBoundingClientRect();
  sheet.width = Math.round(width * scale);
  sheet.height = Math.round(height * scale);
  pen.scale(scale, scale);
  pen.strokeStyle = getComputedStyle(sheet).color;
  pen.lineWidth = 2.5;
  pen.lineCap = "round";
  pen.lineJoin = "round";
  for (const stroke of strokes) {
    pen.beginPath();
    for (let i = 0; i + 1 < stroke.length; i += 2) {
      pen.lineTo(stroke[i] ?? 0, stroke[i + 1] ?? 0);
    }
    pen.stroke();
  }
}

/** Where a finger is, in whole CSS pixels within the box. */
function pointOf(event: PointerEvent): [x: number, y: number] {
  const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
  const within = (value: number, limit: number) =>
    Math.min(Math.max(0, Math.round(value)), Math.round(limit));
  return [within(event.clientX - box.left, box.width), within(event.clientY - box.top, box.height)];
}

/** The sheet, and what a finger on it does: the stroke under way is painted, a finished one told. */
function usePen({ strokes }: Drawn, onDraw: (drawn: Drawn) => void) {
  const ref = useRef<HTMLCanvasElement>(null);
  const current = useRef<number[] | null>(null);
  const repaint = () => {
    if (ref.current === null) return;
    paint(ref.current, current.current === null ? strokes : [...strokes, current.current]);
  };
  useEffect(repaint);
  const finish = (event: PointerEvent) => {
    const stroke = current.current;
    if (stroke === null) return;
    current.current = null;
    // a dot is a line to itself
    if (stroke.length === 2) stroke.push(...stroke);
    const { width, height } = (event.currentTarget as HTMLElement).getBoundingClientRect();
    onDraw({ strokes: [...strokes, stroke], box: [Math.round(width), Math.round(height)] });
  };
  return {
    ref,
    onPointerDown: (event: PointerEvent) => {
      (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
      current.current = pointOf(event);
    },
    onPointerMove: (event: PointerEvent) => {
      const stroke = current.current;
      if (stroke === null || stroke.length > STROKE_LIMIT) return;
      const [x, y] = pointOf(event);
      if (x === stroke.at(-2) && y === stroke.at(-1)) return;
      stroke.push(x, y);
      repaint();
    },
    onPointerUp: finish,
    onPointerCancel: finish,
  };
}

export function SignaturePad({ drawn, onDraw }: { drawn: Drawn; onDraw: (drawn: Drawn) => void }) {
  return (
    <div class="signature">
      <p id="signature-label" class="fact-label" tabIndex={-1}>
        {text("phone-sign-signature")}
      </p>
      <canvas role="img" aria-labelledby="signature-label" {...usePen(drawn, onDraw)} />
      <button type="button" class="button" onClick={() => onDraw({ strokes: [], box: [0, 0] })}>
        {text("phone-sign-clear")}
      </button>
    </div>
  );
}
