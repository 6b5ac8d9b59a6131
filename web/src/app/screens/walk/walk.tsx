/** The visit as a task list: stages in the order of the walk, then the same items by area. */

import type { MarkId } from "../../../shared/marks";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { Mark, MarkWord } from "../../components/grades/grade-mark";
import { SealReceipt } from "../../components/seal/seal-receipt";
import { SignButton, sealSentence, useAmendments } from "../../components/seal/seal-status";
import { address, type Route } from "../../state/routes";
import { text } from "../../text/catalogue";
import { unsorted } from "../../visit/capture/captured";
import { carName } from "../../visit/items/item-record";
import { useAssessment } from "../../visit/use-assessment";
import type { Visit } from "../../visit/visit";
import {
  areasOf,
  isWanted,
  nextOpen,
  type Page,
  stagesOf,
  standing,
  worstOf,
} from "../../visit/walk-order";

import { StageTaken } from "../together/later";

import "../../../style/rows.css";
import "./walk.css";

/** What is worth a word before a page is done. */
const FOUND: MarkId[] = ["minor", "major", "dangerous", "mended"];

function Row({
  visit,
  page,
  to,
  data,
}: {
  visit: Visit;
  page: Page;
  to: Route;
  data: Record<string, string>;
}) {
  const done = page.items.length - page.open.length;
  const { mark, words } = standing(visit, page);
  const isStage = "data-stage" in data && visit.isShared.value;
  const wanted = page.open.filter(({ id }) => isWanted(visit, id)).length;
  const soFar = mark === "open" ? worstOf(visit, page.items) : null;
  return (
    <li class={isStage ? "with-take" : ""}>
      <a class={page.open.length === 0 ? "row row-done" : "row"} {...data} href={address(to)}>
        <span class="row-title">{page.title}</span>
        <span class={`row-state grade state-${mark ?? "open"}`}>
          {mark !== null && <Mark id={mark} />} {words}
        </span>
        <span class="row-detail">
          {done} / {page.items.length}
          {wanted > 0 && ` · ${text("phone-walk-wanted", { count: wanted })}`}
          {soFar !== null && FOUND.includes(soFar) && (
            <>
              {" · "}
              <MarkWord id={soFar} />
            </>
          )}
        </span>
      </a>
      {isStage && <StageTaken visit={visit} page={page} />}
    </li>
  );
}

/** The button at the foot: the next open item, or signing. */
function Onward({ visit, next }: { visit: Visit; next: ReturnType<typeof nextOpen> }) {
  // a signed visit is closed: what is still open is looked at by choice, not by the next tap
  if (next === null || visit.seals().length > 0) return <SignButton visit={visit} />;
  const { page, item } = next;
  return (
    <a
      class="button main"
      href={address({ screen: "stage", visit: visit.id, stage: page.id, item: item.id })}
    >
      {text("phone-walk-next", { title: item.title })}
    </a>
  );
}

function SealedNotice({ visit }: { visit: Visit }) {
  const amendments = useAmendments(visit);
  const seal = visit.seals().at(-1);
  if (seal === undefined) return null;
  return (
    <div class="sealed">
      <p>
        {amendments > 0 && `${text("phone-sign-after", { count: amendments })} `}
        {sealSentence(seal.value)}
      </p>
      <SealReceipt value={seal.value} />
    </div>
  );
}

/** What was captured and waits to be put with a check. */
function ToSort({ visit }: { visit: Visit }) {
  const count = unsorted(visit).length;
  if (count === 0) return null;
  return (
    <a class="button" href={address({ screen: "sort", visit: visit.id })}>
      {text("phone-to-sort", { count })}
    </a>
  );
}

const BESIDE = [
  ["find", "phone-find"],
  ["purpose", "phone-walk-purpose"],
  ["kerb", "phone-walk-decide"],
  ["ad", "phone-walk-ad"],
  ["going", "phone-walk-going"],
  ["map", "phone-walk-map"],
  ["trouble", "phone-walk-trouble"],
  ["facts", "phone-walk-facts"],
  ["seal", "phone-walk-sign"],
  ["manage", "phone-shelf-title"],
] as const;

export function Walk({ visit }: { visit: Visit }) {
  const stages = stagesOf(visit);
  useAssessment(visit);
  return (
    <ScreenFrame
      title={carName(visit)}
      back={{ screen: "cars" }}
      above={text("phone-walk-title")}
      foot={<Onward visit={visit} next={nextOpen(stages, null, visit.whose.value)} />}
    >
      <SealedNotice visit={visit} />
      <ToSort visit={visit} />
      <nav class="beside" aria-label={text("phone-walk-beside")}>
        {BESIDE.map(([screen, id]) => (
          <a
            key={screen}
            class="button"
            href={address(
              screen === "map"
                ? { screen, visit: visit.id, place: null }
                : screen === "going"
                  ? { screen, visit: visit.id, part: null }
                  : screen === "trouble"
                    ? { screen, visit: visit.id, complaint: null }
                    : screen === "find"
                      ? { screen, visit: visit.id, shows: "", words: "", at: null }
                      : { screen, visit: visit.id },
            )}
          >
            {text(id)}
          </a>
        ))}
      </nav>
      <section aria-label={text("phone-walk-in-order")}>
        <h2>{text("phone-walk-in-order")}</h2>
        <ol class="rows">
          {stages.map((page) => (
            <Row
              key={page.id}
              visit={visit}
              page={page}
              to={{ screen: "stage", visit: visit.id, stage: page.id, item: null }}
              data={{ "data-stage": page.id }}
            />
          ))}
        </ol>
      </section>
      <section aria-label={text("phone-walk-by-area")}>
        <h2>{text("phone-walk-by-area")}</h2>
        <ol class="rows">
          {areasOf(visit).map((page) => (
            <Row
              key={page.id}
              visit={visit}
              page={page}
              to={{ screen: "area", visit: visit.id, area: page.id, item: null }}
              data={{ "data-area": page.id }}
            />
          ))}
        </ol>
      </section>
    </ScreenFrame>
  );
}
