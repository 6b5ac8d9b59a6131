/** A signature drawn with a finger: strokes of whole numbers in a box, as the seal records them. */

import { useEffect, useRef } from "preact/hooks";
import { words } from "../../text/en";

import "./signature-pad.css";

export interface Drawn {
  strokes: number[][];
  box: [width: number, height: number];
}

export function SignaturePad({
  drawn,
  problem = null,
  onDraw,
}: {
  drawn: Drawn;
  problem?: string | null;
  onDraw: (drawn: Drawn) => void;
}) {
  const canvas = useRef<HTMLCanvasElement>(null);
  const current = useRef<number[] | null>(null);
  const paint = () => {
    const sheet = canvas.current;
    const pen = sheet?.getContext("2d");
    if (sheet == null || pen == null) return;
    const scale = window.devicePixelRatio;
    const { width, height } = sheet.getBoundingClientRect();
    sheet.width = Math.round(width * scale);
    sheet.height = Math.round(height * scale);
    pen.scale(scale, scale);
    pen.strokeStyle = getComputedStyle(sheet).color;
    pen.lineWidth = 2.5;
    pen.lineCap = "round";
    pen.lineJoin = "round";
    const strokes = current.current === null ? drawn.strokes : [...drawn.strokes, current.current];
    for (const stroke of strokes) {
      pen.beginPath();
      for (let i = 0; i + 1 < stroke.length; i += 2) {
        pen.lineTo(stroke[i] ?? 0, stroke[i + 1] ?? 0);
      }
      pen.stroke();
    }
  };
  useEffect(paint);
  const point = (event: PointerEvent): [number, number] => {
    const box = (event.currentTarget as HTMLElement).getBoundingClientRect();
    const within = (value: number, limit: number) =>
      Math.min(Math.max(0, Math.round(value)), Math.round(limit));
    return [
      within(event.clientX - box.left, box.width),
      within(event.clientY - box.top, box.height),
    ];
  };
  const finish = (event: PointerEvent) => {
    if (current.current === null) return;
    const stroke = current.current;
    current.current = null;
    if (stroke.length === 2) stroke.push(...stroke);
    const { width, height } = (event.currentTarget as HTMLElement).getBoundingClientRect();
    onDraw({ strokes: [...drawn.strokes, stroke], box: [Math.round(width), Math.round(height)] });
  };
  return (
    <div class="signature">
      <p id="signature-label" class="fact-label" tabIndex={-1}>
        {words.seal.signature}
      </p>
      {problem !== null && <p class="wrong">{problem}</p>}
      <canvas
        ref={canvas}
        role="img"
        aria-labelledby="signature-label"
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          current.current = point(event);
        }}
        onPointerMove={(event) => {
          const stroke = current.current;
          if (stroke === null || stroke.length > 4_000) return;
          const [x, y] = point(event);
          if (x === stroke.at(-2) && y === stroke.at(-1)) return;
          stroke.push(x, y);
          paint();
        }}
        onPointerUp={finish}
        onPointerCancel={finish}
      />
      <p class="hint">{words.seal.signatureHint}</p>
      <button type="button" class="button" onClick={() => onDraw({ strokes: [], box: [0, 0] })}>
        {words.seal.clear}
      </button>
    </div>
  );
}
