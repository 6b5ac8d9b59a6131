/** Big buttons of which one is chosen, all visible, pressed state by fill and a heavy edge. */

import type { ComponentChildren } from "preact";

/** Wet fingers tap twice: a second tap on the same button within this time does nothing. */
const GHOST_MS = 300;

const lastTap = new WeakMap<EventTarget, number>();

export function isGhostTap(event: Event): boolean {
  const button = event.currentTarget;
  if (button === null) return false;
  const before = lastTap.get(button);
  lastTap.set(button, event.timeStamp);
  return before !== undefined && event.timeStamp - before < GHOST_MS;
}

export interface Option {
  id: string;
  title: string;
  mark?: ComponentChildren;
  className?: string;
}

export function Choices({
  label,
  options,
  chosen,
  onChoose,
  className = "",
}: {
  label: string;
  options: Option[];
  chosen: string | null;
  onChoose: (id: string) => void;
  className?: string;
}) {
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a grid everywhere
    <div class={`choices ${className}`} role="group" aria-label={label}>
      {options.map(({ id, title, mark, className: own = "" }) => (
        <button
          key={id}
          type="button"
          class={`choice ${own}`}
          aria-pressed={chosen === id}
          onClick={(event) => {
            if (!isGhostTap(event)) onChoose(id);
          }}
        >
          {mark}
          <span>{title}</span>
        </button>
      ))}
    </div>
  );
}
