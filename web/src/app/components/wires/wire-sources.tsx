/** Where the figures of wires come from, and how well each is known. */

import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";

export function WireSources({ visit }: { visit: Visit }) {
  const { sources, rules } = visit.bundle;
  const used = [...new Set(Object.values(rules.wires?.sources ?? {}))];
  return (
    <details class="source">
      <summary>{text("phone-wires-sources")}</summary>
      <p>{text("phone-wires-careful")}</p>
      <ul>
        {used.flatMap((key) => {
          const source = sources[key];
          if (source === undefined) return [];
          const { title, section, status } = source;
          const name = section ? `${title}, ${section}` : title;
          const said = status === "memory" ? text("source-memory", { source: name }) : name;
          return [<li key={key}>{said}</li>];
        })}
      </ul>
    </details>
  );
}
