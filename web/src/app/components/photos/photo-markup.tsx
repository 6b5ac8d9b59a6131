/** Draw an arrow or a circle on a photo with a finger. The result is a new photo; the original stays. */

import { useEffect, useRef, useState } from "preact/hooks";
import { photoIntake } from "../../state/this-page";
import { words } from "../../text/en";
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

export function PhotoMarkup({
  sha256,
  onDone,
}: {
  sha256: string;
  onDone: (picture: Blob | null) => void;
}) {
  const [tool, setTool] = useState<Tool>("arrow");
  const [marks, setMarks] = useState<Mark[]>([]);
  const [image, setImage] = useState<HTMLImageElement | null>(null);
  const canvas = useRef<HTMLCanvasElement>(null);
  const current = useRef<Mark | null>(null);
  useEffect(() => {
    void photoIntake.address(sha256, "full").then((address) => {
      if (address === null) return onDone(null);
      const loaded = new Image();
      loaded.onload = () => setImage(loaded);
      loaded.onerror = () => onDone(null);
      loaded.src = address;
    });
  }, [sha256]);
  const paint = () => {
    const sheet = canvas.current;
    const pen = sheet?.getContext("2d");
    if (sheet == null || pen == null || image === null) return;
    pen.drawImage(image, 0, 0);
    const width = Math.max(4, image.naturalWidth / 160);
    for (const mark of marks) drawMark(pen, mark, width);
    if (current.current !== null) drawMark(pen, current.current, width);
  };
  useEffect(paint);
  useEffect(() => canvas.current?.scrollIntoView({ block: "center" }), [image]);
  const point = (event: PointerEvent): [number, number] => {
    const sheet = event.currentTarget as HTMLCanvasElement;
    const box = sheet.getBoundingClientRect();
    return [
      ((event.clientX - box.left) / box.width) * sheet.width,
      ((event.clientY - box.top) / box.height) * sheet.height,
    ];
  };
  return (
    <div class="drawon">
      <ChoiceButtons
        label={words.photo.draw}
        options={[
          { id: "arrow", title: words.photo.arrow },
          { id: "circle", title: words.photo.circle },
        ]}
        chosen={tool}
        onChoose={(id) => setTool(id as Tool)}
      />
      {image !== null && (
        <canvas
          ref={canvas}
          width={image.naturalWidth}
          height={image.naturalHeight}
          role="img"
          aria-label={words.photo.draw}
          onPointerDown={(event) => {
            event.currentTarget.setPointerCapture(event.pointerId);
            const at = point(event);
            current.current = { tool, from: at, to: at };
          }}
          onPointerMove={(event) => {
            if (current.current === null) return;
            current.current.to = point(event);
            paint();
          }}
          onPointerUp={() => {
            const done = current.current;
            current.current = null;
            if (done !== null) setMarks([...marks, done]);
          }}
          onPointerCancel={() => {
            current.current = null;
            paint();
          }}
        />
      )}
      <div class="photo-buttons">
        <button
          type="button"
          disabled={marks.length === 0}
          onClick={() => setMarks(marks.slice(0, -1))}
        >
          {words.undo}
        </button>
        <button
          type="button"
          class="main"
          disabled={marks.length === 0}
          onClick={() => canvas.current?.toBlob((picture) => onDone(picture), "image/jpeg", 0.88)}
        >
          {words.photo.keepDrawn}
        </button>
        <button type="button" onClick={() => onDone(null)}>
          {words.close}
        </button>
      </div>
    </div>
  );
}
