/** Big buttons that are chosen or switched, all visible, pressed state by fill and a heavy edge. */

import type { ComponentChildren } from "preact";

import "./choice-buttons.css";

/** Wet fingers tap twice: a second tap on the same button within this time does nothing. */
const GHOST_MS = 300;

const lastTap = new WeakMap<EventTarget, number>();

function isGhostTap(event: Event): boolean {
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

interface GroupProps {
  label: string;
  options: Option[];
  className?: string;
}

function ButtonGroup({
  label,
  options,
  className = "",
  pressed,
  onTap,
}: GroupProps & { pressed: (string | null)[]; onTap: (id: string, event: Event) => void }) {
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a grid everywhere
    <div class={`choices ${className}`} role="group" aria-label={label}>
      {options.map(({ id, title, mark, className: own = "" }) => (
        <button
          key={id}
          type="button"
          class={`choice ${own}`}
          aria-pressed={pressed.includes(id)}
          onClick={(event) => onTap(id, event)}
        >
          {mark}
          <span>{title}</span>
        </button>
      ))}
    </div>
  );
}

/** One of several. */
export function ChoiceButtons({
  chosen,
  onChoose,
  ...group
}: GroupProps & { chosen: string | null; onChoose: (id: string) => void }) {
  return (
    <ButtonGroup
      {...group}
      pressed={[chosen]}
      onTap={(id, event) => {
        if (!isGhostTap(event)) onChoose(id);
      }}
    />
  );
}

/** Each of several is on or off; a second tap takes the first one back, so none is a ghost. */
export function ToggleButtons({
  pressed,
  onToggle,
  ...group
}: GroupProps & { pressed: string[]; onToggle: (id: string) => void }) {
  return <ButtonGroup {...group} pressed={pressed} onTap={onToggle} />;
}
