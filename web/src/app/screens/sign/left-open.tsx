/** What stands open or in dispute as somebody locks: listed, said in the lock, and no obstacle. */

import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import { nextOpen, type Page, stagesOf } from "../../visit/walk-order";
import type { OpenAtLock } from "./locking";

import "../../components/controls/choice-buttons.css";
import "./sign.css";

const WHYS = ["time", "seller", "tools", "weather", "enough"] as const;

/** Why what is left of these pages was left: one reason for each, never one for each item. */
function Left({ visit, pages, title }: { visit: Visit; pages: Page[]; title: string }) {
  const given = new Set(pages.map(({ id }) => visit.text(`about/left_${id}`)));
  return (
    <>
      <h3>{title}</h3>
      <ChoiceButtons
        label={title}
        options={WHYS.map((id) => ({ id, title: text(`phone-sign-left-${id}`) }))}
        chosen={given.size === 1 ? ([...given][0] ?? null) : null}
        onChoose={(value) =>
          void visit.put(pages.map(({ id }) => ({ put: `about/left_${id}`, value })))
        }
      />
    </>
  );
}

function Unchecked({ visit }: { visit: Visit }) {
  const stages = stagesOf(visit);
  const left = stages.filter(({ open }) => open.length > 0);
  const next = nextOpen(stages, null, visit.whose.value);
  return (
    <>
      {next !== null && (
        <a
          class="button"
          href={address({
            screen: "stage",
            visit: visit.id,
            stage: next.page.id,
            item: next.item.id,
          })}
        >
          {text("phone-sign-go-on")}
        </a>
      )}
      <details class="part">
        <summary>{text("phone-sign-left-all")}</summary>
        {left.length > 1 && <Left visit={visit} pages={left} title={text("phone-sign-left-all")} />}
        <details class="part">
          <summary>{text("phone-sign-left-each")}</summary>
          {left.map((page) => (
            <Left
              key={page.id}
              visit={visit}
              pages={[page]}
              title={text("phone-sign-left", { title: page.title, count: page.open.length })}
            />
          ))}
        </details>
      </details>
    </>
  );
}

export function LeftOpen({ visit, left }: { visit: Visit; left: OpenAtLock }) {
  const { unchecked, disputed, unsorted } = left;
  if (unchecked + disputed + unsorted === 0) return <p>{text("phone-lock-nothing-open")}</p>;
  return (
    <section class="unlooked" aria-label={text("phone-lock-open")}>
      <h2>{text("phone-lock-open")}</h2>
      {unchecked > 0 && <p>{text("phone-lock-unchecked", { count: unchecked })}</p>}
      {disputed > 0 && (
        <p>
          <a
            href={address({
              ...{ screen: "find", visit: visit.id, shows: "disputed", words: "", at: null },
            })}
          >
            {text("phone-lock-disputed", { count: disputed })}
          </a>
        </p>
      )}
      {unsorted > 0 && (
        <p>
          <a href={address({ screen: "sort", visit: visit.id })}>
            {text("phone-lock-unsorted", { count: unsorted })}
          </a>
        </p>
      )}
      {unchecked > 0 && <Unchecked visit={visit} />}
    </section>
  );
}
