/** The cars of this phone, the best first: by must-haves, then by money, and why one stands behind. */

import { useEffect, useState } from "preact/hooks";
import { ScreenFrame } from "../../../components/frame/screen-frame";
import { address } from "../../../state/routes";
import { page } from "../../../state/this-page";
import { text } from "../../../text/catalogue";
import { money } from "../../../text/formats";
import { type Compared, compared, worseAt } from "../../../visit/before/purpose/compared";
import type { VisitLine } from "../../../visit/visit-lines";
import { standingWord } from "./names";

import "../../../../style/rows.css";
import "./purpose.css";

/** What each figure of a rank is about (judge/decisions/wants.py). */
const BEHIND = [
  "purpose-behind-leave",
  "purpose-behind-must",
  "purpose-behind-open",
  "purpose-behind-price",
  "purpose-behind-room",
] as const;

function Money({ car }: { car: Compared }) {
  const { price, currency } = car.money;
  const shown = (amount: number) => money(amount, currency);
  const parts = [
    price.asking === null ? "" : text("purpose-asked", { amount: shown(price.asking) }),
    price.walk_away === null
      ? text("purpose-no-price")
      : text("purpose-up-to", { amount: shown(price.walk_away) }),
  ];
  return <p>{parts.filter((part) => part !== "").join(" · ")}</p>;
}

function Car({ car, ahead, n }: { car: Compared; ahead: Compared | undefined; n: number }) {
  const { line, wants } = car;
  const at = ahead === undefined ? -1 : worseAt(ahead.rank, car.rank);
  const behind = BEHIND[at];
  const musts = wants.filter(({ side }) => side === "must");
  const shown = wants.filter(({ side, standing }) => side === "must" || standing === "against");
  return (
    <li class="card compared" data-visit={line.visit}>
      <h2>
        <a href={address({ screen: "kerb", visit: line.visit })}>
          {n}. {line.name}
        </a>
      </h2>
      {behind !== undefined && <p class="want-behind">{text(behind)}</p>}
      <Money car={car} />
      {shown.length > 0 ? (
        <ul class="want-list">
          {shown.map((want) => (
            <li key={want.id} data-standing={want.standing}>
              <span>
                {want.side === "leave" && `${text("purpose-leaves")}: `}
                {want.title}
              </span>
              <span class={`want-state want-${want.standing}`}>{standingWord(want)}</span>
            </li>
          ))}
        </ul>
      ) : null}
      {musts.length === 0 && (
        <a class="button" href={address({ screen: "purpose", visit: line.visit })}>
          {text("purpose-none-yet")}
        </a>
      )}
    </li>
  );
}

export function CompareScreen() {
  const [found, setFound] = useState<{ cars: Compared[]; others: VisitLine[] } | null>(null);
  useEffect(() => {
    void compared(page).then(setFound);
  }, []);
  const wanted = new Set(
    found?.cars.map(({ wants }) => wants.map(({ side, title }) => `${side} ${title}`).join()),
  );
  return (
    <ScreenFrame title={text("phone-cars-compare")} back={{ screen: "cars" }}>
      {found === null ? (
        <p role="status">{text("phone-walk-opening")}</p>
      ) : (
        <>
          <p class="hint">{text("purpose-compare-rule")}</p>
          {wanted.size > 1 && <p class="caution">{text("purpose-not-the-same")}</p>}
          <ol class="compared-cars">
            {found.cars.map((car, n) => (
              <Car key={car.line.visit} car={car} ahead={found.cars[n - 1]} n={n + 1} />
            ))}
          </ol>
          {found.others.length > 0 && (
            <section aria-label={text("purpose-not-judged")}>
              <h2>{text("purpose-not-judged")}</h2>
              <ul class="rows">
                {found.others.map(({ visit, name }) => (
                  <li key={visit}>
                    <a class="row" href={address({ screen: "kerb", visit })}>
                      <span class="row-title">{name}</span>
                    </a>
                  </li>
                ))}
              </ul>
            </section>
          )}
        </>
      )}
    </ScreenFrame>
  );
}
