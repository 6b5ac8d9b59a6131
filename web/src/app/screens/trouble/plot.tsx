/** Readings before and after the fix on one small plot: rings before, full dots after. */

import type { ReadingSeries } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { listed } from "../../text/formats";
import { decimal, fromBase, isUnit } from "../../text/measures";
import { withUnit } from "../../text/names";

const WIDTH = 320;
const HEIGHT = 150;
const EDGE = { left: 56, right: 14, top: 12, bottom: 24 };

interface Dot {
  x: number;
  y: number;
  isAfter: boolean;
}

/** Where each point lies: across by its minute where each has one, else in the order taken. */
function dotsOf({ points }: ReadingSeries, values: number[]): Dot[] {
  const isTimed = points.every(({ minute }) => minute !== "");
  const across = points.map(({ minute }, n) => (isTimed ? Number(minute) : n));
  const [low, high] = [Math.min(0, ...values), Math.max(...values, 0)];
  const last = Math.max(...across, 1);
  const first = isTimed ? 0 : Math.min(...across);
  const wide = WIDTH - EDGE.left - EDGE.right;
  const tall = HEIGHT - EDGE.top - EDGE.bottom;
  return points.map(({ phase }, n) => ({
    x: EDGE.left + (wide * ((across[n] ?? 0) - first)) / (last - first || 1),
    y: EDGE.top + tall * (1 - ((values[n] ?? 0) - low) / (high - low || 1)),
    isAfter: phase === "after",
  }));
}

function Line({ dots, isAfter }: { dots: Dot[]; isAfter: boolean }) {
  const of = dots.filter((dot) => dot.isAfter === isAfter);
  if (of.length === 0) return null;
  return (
    <g class={isAfter ? "plot-after" : "plot-before"}>
      <polyline points={of.map(({ x, y }) => `${x},${y}`).join(" ")} />
      {of.map(({ x, y }) => (
        <circle key={`${x} ${y}`} cx={x} cy={y} r={5} />
      ))}
    </g>
  );
}

export function Plot({
  title,
  series,
  unit,
}: {
  title: string;
  series: ReadingSeries;
  unit: string;
}) {
  const values = series.points.map(({ number }) =>
    Number(isUnit(unit) ? fromBase(number, unit) : number),
  );
  const dots = dotsOf(series, values);
  const said = (phase: string) => {
    const of = series.points.flatMap((point, n) =>
      point.phase === phase ? [withUnit(decimal(String(values[n] ?? "")), unit)] : [],
    );
    return of.length === 0 ? text("trouble-plot-none") : listed(of);
  };
  const isTimed = series.points.every(({ minute }) => minute !== "");
  const last = Math.max(...series.points.map(({ minute }) => Number(minute)));
  const [low, high] = [Math.min(0, ...values), Math.max(...values, 0)];
  const label = text("trouble-plot", {
    reading: title,
    before: said("before"),
    after: said("after"),
  });
  return (
    <figure class="trouble-plot">
      <svg viewBox={`0 0 ${WIDTH} ${HEIGHT}`} role="img" aria-label={label}>
        <path
          class="plot-axis"
          d={`M${EDGE.left} ${EDGE.top}V${HEIGHT - EDGE.bottom}H${WIDTH - EDGE.right}`}
        />
        <text x={EDGE.left - 6} y={EDGE.top + 8} text-anchor="end">
          {withUnit(decimal(String(high)), unit)}
        </text>
        <text x={EDGE.left - 6} y={HEIGHT - EDGE.bottom} text-anchor="end">
          {decimal(String(low))}
        </text>
        {isTimed && (
          <text x={WIDTH - EDGE.right} y={HEIGHT - 6} text-anchor="end">
            {text("trouble-minutes", { minutes: decimal(String(last)) })}
          </text>
        )}
        <Line dots={dots} isAfter={false} />
        <Line dots={dots} isAfter={true} />
      </svg>
      <figcaption class="hint">
        <span class="plot-key plot-ring" /> {text("trouble-measure-before")}{" "}
        <span class="plot-key plot-dot" /> {text("trouble-measure-after")}
      </figcaption>
    </figure>
  );
}
