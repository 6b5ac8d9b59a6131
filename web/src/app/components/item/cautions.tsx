/** What can hurt here: in full when it is met for the first time, else by name, and a tap opens it. */

import type { Caution } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { listed } from "../../text/formats";
import type { Visit } from "../../visit/visit";

interface CautionsProps {
  visit: Visit;
  ids: string[];
  fresh: ReadonlySet<string>;
}

function known(visit: Visit, ids: string[]): (Caution & { id: string })[] {
  return ids.flatMap((id) => {
    const caution = visit.bundle.cautions[id];
    return caution === undefined ? [] : [{ id, ...caution }];
  });
}

export function Cautions({ visit, ids, fresh, isOpen }: CautionsProps & { isOpen: boolean }) {
  const cautions = known(visit, ids);
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

/** What to do at once where something is dangerous: the cautions that stand folded above, in full. */
export function DangerCautions({ visit, ids, fresh }: CautionsProps) {
  const folded = known(visit, ids).filter(({ id }) => !fresh.has(id));
  if (folded.length === 0) return null;
  return (
    <section class="caution" aria-label={text("phone-item-do-now")}>
      <p>
        <strong>{text("phone-item-do-now")}</strong>
      </p>
      {folded.map(({ id, title, text: warning }) => (
        <p key={id}>
          <strong>{title}.</strong> {warning}
        </p>
      ))}
    </section>
  );
}
