/** A photo that two fingers or two buttons bring nearer, and one finger moves. */

import { useEffect, useRef, useState } from "preact/hooks";
import { text } from "../../text/catalogue";
import { PhotoPicture } from "./photo-picture";

const NEAREST = 8;
const STEP = 1.6;

interface View {
  scale: number;
  x: number;
  y: number;
}

const WHOLE: View = { scale: 1, x: 0, y: 0 };

/** Nothing but the picture is shown: it covers its frame however it is moved. */
function held({ scale, x, y }: View, box: DOMRect): View {
  const near = Math.min(NEAREST, Math.max(1, scale));
  const far = (size: number) => (size * (near - 1)) / 2;
  const within = (at: number, most: number) => Math.min(most, Math.max(-most, at));
  return { scale: near, x: within(x, far(box.width)), y: within(y, far(box.height)) };
}

export function PhotoZoom({ sha256, alt }: { sha256: string; alt: string }) {
  const [view, setView] = useState(WHOLE);
  const frame = useRef<HTMLDivElement>(null);
  const fingers = useRef(new Map<number, { x: number; y: number }>());
  useEffect(() => setView(WHOLE), [sha256]);
  const change = (next: (before: View) => View) => {
    const box = frame.current?.getBoundingClientRect();
    if (box !== undefined) setView((before) => held(next(before), box));
  };
  const move = (event: PointerEvent) => {
    const before = fingers.current.get(event.pointerId);
    if (before === undefined) return;
    const now = { x: event.clientX, y: event.clientY };
    const other = [...fingers.current].find(([id]) => id !== event.pointerId)?.[1];
    fingers.current.set(event.pointerId, now);
    if (other === undefined) {
      const [dx, dy] = [now.x - before.x, now.y - before.y];
      change((view) => ({ ...view, x: view.x + dx, y: view.y + dy }));
      return;
    }
    const away = (one: { x: number; y: number }) => Math.hypot(one.x - other.x, one.y - other.y);
    const ratio = away(now) / Math.max(1, away(before));
    change((view) => ({ scale: view.scale * ratio, x: view.x * ratio, y: view.y * ratio }));
  };
  const leave = (event: PointerEvent) => fingers.current.delete(event.pointerId);
  const by = (ratio: number) =>
    change((view) => ({ scale: view.scale * ratio, x: view.x * ratio, y: view.y * ratio }));
  return (
    <div class="photo-zoom">
      <div
        ref={frame}
        class="photo-frame"
        data-scale={view.scale.toFixed(2)}
        onPointerDown={(event) => {
          event.currentTarget.setPointerCapture(event.pointerId);
          fingers.current.set(event.pointerId, { x: event.clientX, y: event.clientY });
        }}
        onPointerMove={move}
        onPointerUp={leave}
        onPointerCancel={leave}
      >
        <div
          class="photo-moved"
          style={{ transform: `translate(${view.x}px, ${view.y}px) scale(${view.scale})` }}
        >
          <PhotoPicture sha256={sha256} alt={alt} size="full" />
        </div>
      </div>
      <div class="zoom-buttons">
        <button type="button" disabled={view.scale <= 1} onClick={() => by(1 / STEP)}>
          <span aria-hidden="true">−</span>
          <span class="visually-hidden">{text("capture-farther")}</span>
        </button>
        <button type="button" disabled={view.scale >= NEAREST} onClick={() => by(STEP)}>
          <span aria-hidden="true">+</span>
          <span class="visually-hidden">{text("capture-nearer")}</span>
        </button>
      </div>
    </div>
  );
}
