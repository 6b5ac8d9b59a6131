/** The visit as a list of areas, in the order in which one walks round and under the car. */

import { Frame } from "../parts/frame";
import { Plate } from "../parts/plate";
import { address } from "../route";
import type { Visit } from "../visit";
import { areasOf, nextOpen } from "../walk";
import { words } from "../words";

export function carName(visit: Visit): string {
  const name = ["car/make", "car/model", "car/year"]
    .map((put) => visit.text(put))
    .filter((part) => part !== "");
  return name.length === 0 ? words.cars.unnamed : name.join(" ");
}

export function Walk({ visit }: { visit: Visit }) {
  const areas = areasOf(visit);
  const next = nextOpen(areas, null);
  const worst = new Map(
    (visit.assessment.value?.areas ?? []).map((area) => [area.area, area.worst]),
  );
  const seal = visit.seals().at(-1);
  return (
    <Frame
      title={carName(visit)}
      back={{ screen: "cars" }}
      above={words.walk.title}
      foot={
        next === null ? (
          <a class="button main" href={address({ screen: "seal", visit: visit.id })}>
            {words.walk.allDone}
          </a>
        ) : (
          <a
            class="button main"
            href={address({
              screen: "area",
              visit: visit.id,
              area: next.area.id,
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
          {words.seal.sealed(
            String(seal.value.name),
            String((seal.value.at as { date: string }).date),
          )}
        </p>
      )}
      <nav class="beside" aria-label={words.walk.title}>
        <a class="button" href={address({ screen: "facts", visit: visit.id })}>
          {words.walk.facts}
        </a>
        <a class="button" href={address({ screen: "seal", visit: visit.id })}>
          {words.walk.sign}
        </a>
      </nav>
      <ol class="rows">
        {areas.map((area) => {
          const open = area.open.length;
          const state =
            open === 0
              ? words.walk.done
              : open === area.items.length
                ? words.walk.notStarted
                : words.walk.inProgress(open);
          return (
            <li key={area.id}>
              <a
                class={open === 0 ? "row row-done" : "row"}
                data-area={area.id}
                href={address({ screen: "area", visit: visit.id, area: area.id, item: null })}
              >
                <span class="row-title">{area.title}</span>
                <span class="row-state">{state}</span>
                <span class="row-detail">
                  {area.items.length - open} / {area.items.length}
                  {worst.get(area.id) != null && worst.get(area.id) !== "none" && (
                    <>
                      {" · "}
                      <Plate grade={worst.get(area.id) ?? null} />{" "}
                      {words.grade[worst.get(area.id) ?? "none"]}
                    </>
                  )}
                </span>
              </a>
            </li>
          );
        })}
      </ol>
    </Frame>
  );
}
