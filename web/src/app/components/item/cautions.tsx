/** What can hurt here: in full when it is met for the first time, else by name, and a tap opens it. */

import { text } from "../../text/catalogue";
import { listed } from "../../text/formats";
import type { Visit } from "../../visit/visit";

export function Cautions({
  visit,
  ids,
  fresh,
  isOpen,
}: {
  visit: Visit;
  ids: string[];
  fresh: ReadonlySet<string>;
  isOpen: boolean;
}) {
  const cautions = ids.flatMap((id) => {
    const caution = visit.bundle.cautions[id];
    return caution === undefined ? [] : [{ id, ...caution }];
  });
  const inFull = cautions.filter(({ id }) => fresh.has(id));
  const rest = cautions.filter(({ id }) => !fresh.has(id));
  return (
    <>
      {inFull.map(({ id, title, text: warning }) => (
        <p key={id} class="caution">
          <strong>{text("phone-item-caution", { title })}.</strong> {warning}
        </p>
      ))}
      {rest.length > 0 && (
        <details class="caution" open={isOpen}>
          <summary>
            {text("phone-item-caution", { title: listed(rest.map(({ title }) => title)) })}
          </summary>
          {rest.map(({ id, title, text: warning }) => (
            <p key={id}>
              <strong>{title}.</strong> {warning}
            </p>
          ))}
        </details>
      )}
    </>
  );
}
