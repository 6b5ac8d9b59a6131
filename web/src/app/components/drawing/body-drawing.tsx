/**
 * The body map's own drawing: the car from its left, from above and from its right. A panel shows
 * its figure, and by a pattern what the paint on it is; a tag is the worst that was found at a
 * place, a pencil ring where to look next, a ring a dent, a dot rust, a cross an old repair. The list below says the same in words.
 */

import { text } from "../../text/catalogue";
import { CarView, type Drawn } from "./car-view";
import { PATTERNS } from "./outlines";

import "./body-drawing.css";

const VIEWS = [
  ["left", "phone-map-view-left"],
  ["plan", "phone-map-view-top"],
  ["right", "phone-map-view-right"],
] as const;

function Patterns() {
  return (
    <svg class="patterns" width="0" height="0" aria-hidden="true">
      <defs>
        {PATTERNS.map(([finish, { tile, width, strokes }]) => (
          <pattern
            key={finish}
            id={`pattern-${finish}`}
            width={tile}
            height={tile}
            patternUnits="userSpaceOnUse"
          >
            <path d={strokes} stroke-width={width} />
          </pattern>
        ))}
      </defs>
    </svg>
  );
}

export function BodyDrawing({ onChoose, ...drawn }: Drawn & { onChoose: (place: string) => void }) {
  const choose = (event: Event) => {
    const tapped = (event.target as Element).closest<SVGElement>("[data-panel], [data-place]");
    const place = tapped?.dataset.panel ?? tapped?.dataset.place;
    if (place !== undefined) onChoose(place);
  };
  return (
    // the list below is the way for keyboard and screen reader; this is its picture
    // biome-ignore lint/a11y/noStaticElementInteractions: see above
    // biome-ignore lint/a11y/useKeyWithClickEvents: see above
    // biome-ignore lint/a11y/noNoninteractiveTabindex: where letters are large it scrolls sideways
    <div class="drawing" tabIndex={0} onClick={choose}>
      <Patterns />
      {VIEWS.map(([view, label]) => (
        <figure key={view} class="view" data-view={view}>
          <figcaption>{text(label)}</figcaption>
          <CarView view={view} drawn={drawn} />
        </figure>
      ))}
    </div>
  );
}
