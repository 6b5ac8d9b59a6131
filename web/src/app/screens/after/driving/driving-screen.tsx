/**
 * The drive home: the judge's answer first, and no plan where that is no. Then what is looked at before
 * the car rolls and at each stop, what to watch, and what to take along. Nothing here is for a driver.
 */

import { useEffect, useRef } from "preact/hooks";
import type { Assessment, DriveAnswer, Driving } from "../../../../shared/contract";
import { ScreenFrame } from "../../../components/frame/screen-frame";
import { text } from "../../../text/catalogue";
import { say } from "../../../text/say";
import { badRows, HOME, legOf, nextStop, type Row, wasAt } from "../../../visit/after/driving";
import { carName } from "../../../visit/items/item-record";
import { driveNow } from "../../../visit/standing";
import { useAssessment } from "../../../visit/use-assessment";
import type { Visit } from "../../../visit/visit";
import { titleOf } from "../../decision/item-links";
import { Distance } from "../../facts/fact-fields";
import { ItemList } from "./item-list";
import { DriveLog } from "./log";
import { StopForm } from "./stop-form";
import { BadRow } from "./stop-here";
import { usePlan } from "./use-plan";
import { KitList, WatchList } from "./watch";

import "../../decision/decision.css";
import "../../../components/photos/item-photos.css";
import "./driving.css";

interface Props {
  visit: Visit;
  assessment: Assessment;
}

/** What is bad, or the next stop, comes into sight: the thumb was far below it. */
function useSight(bad: number, stop: number) {
  const top = useRef<HTMLDivElement>(null);
  const before = useRef({ bad, stop });
  useEffect(() => {
    if (bad > before.current.bad || stop > before.current.stop) top.current?.scrollIntoView();
    before.current = { bad, stop };
  }, [bad, stop]);
  return top;
}

/** Why it is not driven, and what would have to be done before: as the judge says it. */
function Against({ visit, assessment }: Props) {
  const { rules } = visit.bundle;
  const { reasons } = driveNow(assessment);
  const seen = reasons.filter((reason) => reason.seen);
  const unseen = reasons.filter((reason) => !reason.seen);
  return (
    <>
      {seen.length > 0 && (
        <section aria-label={text("driving-mend-first")}>
          <h2>{text("driving-mend-first")}</h2>
          <ItemList
            visit={visit}
            rows={seen.map(({ item, said }) => ({ item, words: say(said, rules) }))}
          />
        </section>
      )}
      {unseen.length > 0 && (
        <section aria-label={text("driving-look-first")}>
          <h2>{text("driving-look-first")}</h2>
          <ItemList
            visit={visit}
            rows={unseen.map(({ item }) => ({ item, words: titleOf(visit, item) }))}
          />
        </section>
      )}
    </>
  );
}

/** On the way, or with something bad, it is an order; before that it says why there is no plan. */
function headline(visit: Visit, answer: DriveAnswer, bad: Row[]) {
  if (bad.length > 0 || wasAt(visit, 1)) return "driving-stop-here";
  return answer === "trailer" ? "driving-no-plan" : "driving-no-plan-yet";
}

/** The answer in one plate; at the roadside it is an order. */
function Answer({ visit, assessment, bad }: Props & { bad: Row[] }) {
  const { answer, said } = driveNow(assessment);
  const isNo = answer === "trailer" || answer === "not_cleared";
  const words = say(said, visit.bundle.rules);
  return (
    <section aria-label={text("driving-answer")} data-drive={answer}>
      <p class={`verdict spoken verdict-${answer}`} role="status">
        {isNo && <strong>{text(headline(visit, answer, bad))}</strong>}
        {isNo ? words : <strong>{words}</strong>}
      </p>
      {bad.length > 0 && <p class="caution">{text("driving-roadside")}</p>}
    </section>
  );
}

function Plan({ visit, assessment, driving }: Props & { driving: Driving }) {
  const plan = usePlan(visit, driving, assessment);
  const leg = legOf(visit, driving);
  const bad = badRows(visit, driving);
  // what was bad there stays open to be answered otherwise, also where the answer is no
  const stop = nextStop(visit, driving);
  const { answer } = driveNow(assessment);
  const isNo = answer === "trailer" || answer === "not_cleared";
  const isHome = wasAt(visit, HOME);
  const top = useSight(bad.length, stop);
  return (
    <>
      <div ref={top} class="drive-top">
        <Answer visit={visit} assessment={assessment} bad={bad} />
      </div>
      {bad.length > 0 && (
        <section aria-label={text("driving-do")}>
          <h2>{text("driving-do")}</h2>
          <ul class="drive-list">
            {bad.map((row) => (
              <BadRow key={`${row.stop} ${row.sign.id} ${row.place}`} {...{ visit, row, leg }} />
            ))}
          </ul>
        </section>
      )}
      {!isHome && (!isNo || wasAt(visit, stop)) && (
        <StopForm key={stop} {...{ visit, driving, plan, leg, stop, isNo }} />
      )}
      {isHome && (
        <Distance
          visit={visit}
          put={`drive/${HOME}/odometer`}
          label={text("phone-facts-odometer")}
        />
      )}
      {isNo && <Against visit={visit} assessment={assessment} />}
      {!isNo && !isHome && plan !== null && (
        <>
          <WatchList {...{ visit, driving, plan }} />
          <KitList {...{ visit, driving, plan }} />
        </>
      )}
      <DriveLog {...{ visit, driving, leg }} />
    </>
  );
}

export function DrivingScreen({ visit }: { visit: Visit }) {
  const assessment = useAssessment(visit);
  const { driving } = visit.bundle;
  return (
    <ScreenFrame
      title={text("driving-title")}
      back={{ screen: "kerb", visit: visit.id }}
      above={carName(visit)}
    >
      <p class="caution">{text("driving-never")}</p>
      {assessment === null && <p role="status">{text("driving-working")}</p>}
      {assessment !== null && driving === undefined && (
        <>
          <Answer visit={visit} assessment={assessment} bad={[]} />
          <p>{text("driving-older")}</p>
        </>
      )}
      {assessment !== null && driving !== undefined && (
        <Plan visit={visit} assessment={assessment} driving={driving} />
      )}
      <p class="caution">{text("judge-drive-caution")}</p>
    </ScreenFrame>
  );
}
