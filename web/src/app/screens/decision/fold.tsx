/** What an answer rests on: one line, and all of it behind a tap. */

import type { ComponentChildren } from "preact";

export function Fold({ title, children }: { title: string; children: ComponentChildren }) {
  return (
    <details class="fold">
      <summary>
        <h2>{title}</h2>
      </summary>
      {children}
    </details>
  );
}
