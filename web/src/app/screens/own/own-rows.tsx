/** The findings of a page that no check asked for, and the way to add one. */

import { GradeWord } from "../../components/grades/grade-mark";
import { address } from "../../state/routes";
import { text } from "../../text/catalogue";
import { shownGrade } from "../../visit/items/item-record";
import type { Visit } from "../../visit/visit";
import type { Page } from "../../visit/walk-order";

import { ToSettle } from "../ad/later";

import "./own.css";

interface Props {
  visit: Visit;
  kind: "area" | "stage";
  page: Page;
}

/** A stage has those of its areas: nobody says of a finding when in the walk it was made. */
export function OwnRows({ visit, kind, page }: Props) {
  const areas = kind === "area" ? [page.id] : page.parts.map(({ id }) => id);
  const shown = visit.own.value.filter(({ area }) => areas.includes(area));
  const item = kind === "area" ? page.id : null;
  return (
    <>
      <ToSettle visit={visit} items={page.items.map(({ id }) => id)} />
      <section class="own-rows" aria-label={text("own-rows")}>
        {shown.length > 0 && <h2 class="stage">{text("own-rows")}</h2>}
        <ul class="rows">
          {shown.map((found) => (
            <li key={found.id}>
              <a
                class="row"
                data-own={found.id}
                href={address({ screen: "own", visit: visit.id, item: found.id })}
              >
                <span class="row-title own-words">{found.title || text("own-untitled")}</span>
                <span class="row-state">
                  <GradeWord
                    grade={shownGrade(visit, found)}
                    isMended={visit.mended.value.has(found.id)}
                  />
                </span>
              </a>
            </li>
          ))}
        </ul>
        <a class="button" href={address({ screen: "own", visit: visit.id, item })}>
          {text("own-add")}
        </a>
      </section>
    </>
  );
}
