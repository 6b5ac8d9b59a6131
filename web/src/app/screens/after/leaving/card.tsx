/**
 * The card that one holds while the seller watches: opening price, when to leave, three reasons
 * with their photos, what was asked and offered. The top price is on the page only while a finger
 * or a key holds it.
 */

import { useEffect, useState } from "preact/hooks";
import type { Assessment, Leaving } from "../../../../shared/contract";
import { ScreenFrame } from "../../../components/frame/screen-frame";
import { PhotoPicture } from "../../../components/photos/photo-picture";
import { text } from "../../../text/catalogue";
import { about } from "../../../text/estimates";
import { clock, money } from "../../../text/formats";
import { useLeaving } from "../../../visit/after/use-leaving";
import { carName } from "../../../visit/items/item-record";
import { type PriceReason, payingLess } from "../../../visit/paying-less";
import { useAssessment } from "../../../visit/use-assessment";
import type { Visit } from "../../../visit/visit";
import { PriceForm, PriceList } from "./prices";

import "./leaving.css";

/** The last few stand on the card. */
const LATEST = 4;

/** Held down: whatever takes the finger, the page or the focus away lets go. */
function useHeld() {
  const [isHeld, setHeld] = useState(false);
  useEffect(() => {
    if (!isHeld) return undefined;
    const letGo = () => setHeld(false);
    const ends = ["pointerup", "pointercancel", "blur", "pagehide"];
    for (const name of ends) window.addEventListener(name, letGo);
    document.addEventListener("visibilitychange", letGo);
    return () => {
      for (const name of ends) window.removeEventListener(name, letGo);
      document.removeEventListener("visibilitychange", letGo);
    };
  }, [isHeld]);
  const isKey = (event: KeyboardEvent) => event.key === " " || event.key === "Enter";
  const hold = {
    onPointerDown: () => setHeld(true),
    onPointerLeave: () => setHeld(false),
    onBlur: () => setHeld(false),
    onContextMenu: (event: Event) => event.preventDefault(),
    onKeyDown: (event: KeyboardEvent) => isKey(event) && setHeld(true),
    onKeyUp: (event: KeyboardEvent) => isKey(event) && setHeld(false),
  };
  return { isHeld, hold };
}

function Top({ assessment }: { assessment: Assessment }) {
  const { isHeld, hold } = useHeld();
  const { price, currency } = assessment.money;
  const top =
    price.walk_away === null ? text("leaving-top-none") : money(price.walk_away, currency);
  return (
    <button type="button" class="leaving-top" data-held={isHeld} {...hold}>
      <span>{text("leaving-top")}</span>
      <strong>{isHeld ? top : text("leaving-top-hold")}</strong>
    </button>
  );
}

function Reason({ reason, currency }: { reason: PriceReason; currency: string }) {
  const { title, where, why, amount, photos } = reason;
  const [photo] = photos;
  return (
    <li class={photo === undefined ? undefined : "with-photo"}>
      {photo !== undefined && (
        <PhotoPicture sha256={photo} alt={text("phone-photo-alt", { title, number: 1 })} />
      )}
      <span>
        <span class="row-title">{title}</span>
        {where !== "" && <span class="hint">{where}</span>}
        {why !== "" && <span class="hint">{why}</span>}
      </span>
      <strong class="amount">{about(amount, currency)}</strong>
    </li>
  );
}

function Front({
  visit,
  assessment,
  leaving,
}: {
  visit: Visit;
  assessment: Assessment;
  leaving: Leaving;
}) {
  const { currency } = assessment.money;
  const all = payingLess(visit, assessment).flatMap(({ reasons }) => reasons);
  const reasons = leaving.reasons.flatMap((id) => all.filter((one) => one.id === id));
  return (
    <>
      <dl class="leaving-figures">
        <div>
          <dt>{text("leaving-opening")}</dt>
          <dd>
            {leaving.opening === null
              ? text("leaving-no-opening")
              : money(leaving.opening, currency)}
          </dd>
        </div>
        {leaving.leave_time !== "" && (
          <div>
            <dt>{text("leaving-leave-by")}</dt>
            <dd>{clock(leaving.leave_time)}</dd>
          </div>
        )}
      </dl>
      {reasons.length > 0 && (
        <ul class="leaving-three" aria-label={text("leaving-reasons")}>
          {reasons.map((reason) => (
            <Reason key={reason.id} reason={reason} currency={currency} />
          ))}
        </ul>
      )}
      <PriceList visit={visit} prices={leaving.prices.slice(-LATEST)} />
      <PriceForm visit={visit} />
    </>
  );
}

export function Card({ visit }: { visit: Visit }) {
  const assessment = useAssessment(visit);
  const leaving = useLeaving(visit, assessment);
  const isReady = assessment !== null && leaving !== null;
  return (
    <ScreenFrame
      title={carName(visit)}
      back={{ screen: "leaving", visit: visit.id, part: null }}
      foot={isReady ? <Top assessment={assessment} /> : undefined}
    >
      {isReady ? (
        <Front visit={visit} assessment={assessment} leaving={leaving} />
      ) : (
        <p role="status">{text("phone-decide-working")}</p>
      )}
    </ScreenFrame>
  );
}
