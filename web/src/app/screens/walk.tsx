/** The visit as a task list: stages in the order of the walk, then the same items by area. */

import type { Grade } from "../../shared/contract";
import { GradeWord } from "../components/grade-mark";
import { Frame } from "../components/screen-frame";
import { SignButton, sealText, useAmendments } from "../components/seal-status";
import { address, type Route } from "../state/router";
import { useAssessment } from "../state/use-assessment";
import type { Visit } from "../state/visit";
import { areasOf, nextOpen, type Page, progress, stagesOf } from "../state/walk-order";
import { words } from "../text/en";

export function carName(visit: Visit): string {
  const name = ["car/make", "car/model", "car/year"]
    .map((put) => visit.text(put))
    .filter((part) => part !== "");
  return name.length === 0 ? words.cars.unnamed : name.join(" ");
}

function Row({
  page,
  to,
  worst,
  data,
}: {
  page: Page;
  to: Route;
  worst?: Grade | null | undefined;
  data: Record<string, string>;
}) {
  const done = page.items.length - page.open.length;
  return (
    <li>
      <a class={page.open.length === 0 ? "row row-done" : "row"} {...data} href={address(to)}>
        <span class="row-title">{page.title}</span>
        <span class="row-state">{progress(page)}</span>
        <span class="row-detail">
          {done} / {page.items.length}
          {worst != null && worst !== "none" && (
            <>
              {" · "}
              <GradeWord grade={worst} />
            </>
          )}
        </span>
      </a>
    </li>
  );
}

export function Walk({ visit }: { visit: Visit }) {
  const stages = stagesOf(visit);
  const areas = areasOf(visit);
  const next = nextOpen(stages, null);
  const worst = new Map(useAssessment(visit)?.areas.map((area) => [area.area, area.worst]));
  const seals = visit.seals();
  const seal = seals.at(-1);
  const amendments = useAmendments(visit);
  const to = (screen: "facts" | "kerb" | "map" | "seal") => address({ screen, visit: visit.id });
  return (
    <Frame
      title={carName(visit)}
      back={{ screen: "cars" }}
      above={words.walk.title}
      foot={
        // a signed visit is closed: what is still open is looked at by choice, not by the next tap
        next === null || seal !== undefined ? (
          <SignButton visit={visit} />
        ) : (
          <a
            class="button main"
            href={address({
              screen: "stage",
              visit: visit.id,
              stage: next.page.id,
              item: next.item.id,
            })}
          >
            {words.walk.nextItem(next.item.title)}
          </a>
        )
      }
    >
      {seal !== undefined && (
        <p class="sealed">
          {amendments > 0 && `${words.seal.after(amendments)} `}
          {sealText(seal.value)}
        </p>
      )}
      <nav class="beside" aria-label={words.walk.beside}>
        <a class="button" href={to("kerb")}>
          {words.walk.kerb}
        </a>
        <a class="button" href={to("map")}>
          {words.walk.map}
        </a>
        <a class="button" href={to("facts")}>
          {words.walk.facts}
        </a>
        <a class="button" href={to("seal")}>
          {words.walk.sign}
        </a>
      </nav>
      <section aria-label={words.walk.inOrder}>
        <h2>{words.walk.inOrder}</h2>
        <ol class="rows">
          {stages.map((page) => (
            <Row
              key={page.id}
              page={page}
              to={{ screen: "stage", visit: visit.id, stage: page.id, item: null }}
              data={{ "data-stage": page.id }}
            />
          ))}
        </ol>
      </section>
      <section aria-label={words.walk.byArea}>
        <h2>{words.walk.byArea}</h2>
        <ol class="rows">
          {areas.map((page) => (
            <Row
              key={page.id}
              page={page}
              worst={worst.get(page.id)}
              to={{ screen: "area", visit: visit.id, area: page.id, item: null }}
              data={{ "data-area": page.id }}
            />
          ))}
        </ol>
      </section>
    </Frame>
  );
}
