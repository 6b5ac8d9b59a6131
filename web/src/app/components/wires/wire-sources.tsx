/** Where the figures of wires come from, and how well each is known. */

import { catalogue, text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

/** What the columns of the table are called. */
const COLUMNS: Record<string, string> = {
  bears: "bears",
  alone: "alone",
  resistance: "drop",
  drop: "drop-allowed",
  hot: "drop-hot",
  fuses: "fuse",
  battery: "short",
  heat: "heat",
};

export function WireSources({ visit }: { visit: Visit }) {
  const { sources, rules } = visit.bundle;
  const columns = Object.entries(rules.wires?.sources ?? {}).sort(([a], [b]) => (a < b ? -1 : 1));
  return (
    <details class="source">
      <summary>{text("phone-wires-sources")}</summary>
      <p>{text("phone-wires-careful")}</p>
      <ul>
        {columns.flatMap(([column, key]) => {
          const source = sources[key];
          if (source === undefined) return [];
          const { title, section, status } = source;
          const cited = section ? text("source-section", { source: title, section }) : title;
          const value = status === "memory" ? text("source-memory", { source: cited }) : cited;
          const name = catalogue.find(`judge-fact-wire-${COLUMNS[column] ?? "gauge"}`);
          return [<li key={column}>{text("judge-fact", { name, value })}</li>];
        })}
      </ul>
    </details>
  );
}
