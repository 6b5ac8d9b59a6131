/** Draw an arrow or a circle on a photo with a finger. The result is a new photo; the original stays. */

import type { RefObject } from "preact";
import { useEffect, useRef, useState } from "preact/hooks";
import { photoIntake } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { ChoiceButtons } from "../controls/choice-buttons";

import "./photo-viewer.css";

type Tool = "arrow" | "circle";

interface Mark {
  tool: Tool;
  from: [number, number];
  to: [number, number];
}

/** Yellow between two black edges: seen on any paint, by any eye. */
function stroke(pen: CanvasRenderingContext2D, width: number, draw: () => void): void {
  for (const [color, scale] of [
    ["#000000", 2],
    ["#ffe14d", 1],
  ] as const) {
    pen.strokeStyle = color;
    pen.lineWidth = width * scale;
    pen.lineCap = "round";
    pen.lineJoin = "round";
    pen.beginPath();
    draw();
    pen.stroke();
  }
}

function drawMark(pen: CanvasRenderingContext2D, { tool, from, to }: Mark, width: number): void {
  const [x1, y1] = from;
  const [x2, y2] = to;
  const length = Math.hypot(x2 - x1, y2 - y1);
  stroke(pen, width, () => {
    if (tool === "circle") {
      pen.arc(x1, y1, Math.max(length, width * 2), 0, 2 * Math.PI);
      return;
    }
    const angle = Math.atan2(y2 - y1, x2 - x1);
    const head = Math.max(width * 4, length / 4);
    pen.moveTo(x1, y1);
    pen.lineTo(x2, y2);
    for (const side of [-0.5, 0.5]) {
      pen.moveTo(x2, y2);
      pen.lineTo(x2 - head * Math.cos(angle + side), y2 - head * Math.sin(angle + side));
    }
  });
}

/** The photo, loaded; null until it is. `onFail` hears that it cannot be. */
function useImage(sha256: string, onFail: () => void): HTMLImageElement | null {
  const [image, setImage] = useState<HTMLImageElement | null>(null);
  useEffect(() => {
    void photoIntake.address(sha256, "full").then((address) => {
      if (address === null) return onFail();
      const loaded = new Image();
      loaded.onload = () => setImage(loaded);
      loaded.onerror = onFail;
      loaded.src = address;
    });
  }, [sha256]);
  return image;
}

function pointOf(event: PointerEvent): Mark["from"] {
  const sheet = event.currentTarget as HTMLCanvasElement;
  const box = sheet.getBoundingClientRect();
  return [
    ((event.clientX - box.left) / box.width) * sheet.width,
    ((event.clientY - box.top) / box.height) * sheet.height,
  ];
}

/** The photo with its marks; a finger draws another. */
function Sheet({
  image,
  marks,
  tool,
  sheet,
  onMark,
}: {
  image: HTMLImageElement;
  marks: Mark[];
  tool: Tool;
  sheet: RefObject<HTMLCanvasElement | null>;
  onMark: (mark: Mark) => void;
}) {
  const current = useRef<Mark | null>(null);
  const paint = () => {
    const pen = sheet.current?.getContext("2d");
    if (pen == null) return;
    pen.drawImage(image, 0, 0);
    const width = Math.max(4, image.naturalWidth / 160);
    const shown = current.current === null ? marks : [...marks, current.current];
    for (const mark of shown) drawMark(pen, mark, width);
  };
  useEffect(paint);
  useEffect(() => sheet.current?.scrollIntoView({ block: "center" }), [image]);
  return (
    <canvas
      ref={sheet}
      width={image.naturalWidth}
      height={image.naturalHeight}
      role="img"
      aria-label={text("phone-photo-draw")}
      onPointerDown={(event) => {
        event.currentTarget.setPointerCapture(event.pointerId);
        const at = pointOf(event);
        current.current = { tool, from: at, to: at };
      }}
      onPointerMove={(event) => {
        if (current.current === null) return;
        current.current.to = pointOf(event);
        paint();
      }}
      onPointerUp={() => {
        const mark = current.current;
        current.current = null;
        if (mark !== null) onMark(mark);
      }}
      onPointerCancel={() => {
        current.current = null;
        paint();
      }}
    />
  );
}

export function PhotoMarkup({
  sha256,
  onDone,
}: {
  sha256: string;
  onDone: (picture: Blob | null) => void;
}) {
  const [tool, setTool] = useState<Tool>("arrow");
  const [marks, setMarks] = useState<Mark[]>([]);
  const image = useImage(sha256, () => onDone(null));
  const sheet = useRef<HTMLCanvasElement>(null);
  const isUnmarked = marks.length === 0;
  const keep = () => sheet.current?.toBlob((picture) => onDone(picture), "image/jpeg", 0.88);
  return (
    <div class="drawon">
      <ChoiceButtons
        label={text("phone-photo-draw")}
        options={[
          { id: "arrow", title: text("phone-photo-arrow") },
          { id: "circle", title: text("phone-photo-circle") },
        ]}
        chosen={tool}
        onChoose={(id) => setTool(id as Tool)}
      />
      {image !== null && (
        <Sheet
          image={image}
          marks={marks}
          tool={tool}
          sheet={sheet}
          onMark={(mark) => setMarks([...marks, mark])}
        />
      )}
      <div class="photo-buttons">
        <button type="button" disabled={isUnmarked} onClick={() => setMarks(marks.slice(0, -1))}>
          {text("phone-undo")}
        </button>
        <button type="button" class="main" disabled={isUnmarked} onClick={keep}>
          {text("phone-photo-keep-drawn")}
        </button>
        <button type="button" onClick={() => onDone(null)}>
          {text("phone-close")}
        </button>
      </div>
    </div>
  );
}
