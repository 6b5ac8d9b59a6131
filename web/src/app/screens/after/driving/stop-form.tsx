/** One stop: parked first, then one minute of big buttons. */

import { useEffect, useState } from "preact/hooks";
import type { DriveLeg, DrivePlan, Driving } from "../../../../shared/contract";
import { ChoiceButtons } from "../../../components/controls/choice-buttons";
import { address } from "../../../state/routes";
import { text } from "../../../text/catalogue";
import {
  figureOf,
  HOME,
  parkedChanges,
  type Reply,
  type Row,
  replyChanges,
  replyOf,
  rowsAt,
  rowTitle,
  START,
  stateOf,
  stopTitle,
  wasAt,
} from "../../../visit/after/driving";
import type { Visit } from "../../../visit/visit";
import { Distance } from "../../facts/fact-fields";

/** Whether somebody said that the car stands; to be said anew each time the phone was put away. */
function useParked(): [boolean, () => void] {
  const [isParked, setParked] = useState(false);
  useEffect(() => {
    const leave = () => document.visibilityState === "hidden" && setParked(false);
    document.addEventListener("visibilitychange", leave);
    return () => document.removeEventListener("visibilitychange", leave);
  }, []);
  return [isParked, () => setParked(true)];
}

interface Props {
  visit: Visit;
  driving: Driving;
  plan: DrivePlan | null;
  leg: DriveLeg;
  stop: number;
  /** Whether the judge's answer is no. */
  isNo: boolean;
}

function Figure({ visit, fact }: { visit: Visit; fact: string }) {
  const figure = figureOf(visit, fact);
  if (figure !== "") return <p class="hint">{text("driving-figure", { figure })}</p>;
  return (
    <p class="hint">
      {text("driving-no-figure")}{" "}
      <a href={address({ screen: "facts", visit: visit.id })}>{text("phone-walk-facts")}</a>
    </p>
  );
}

function Question({ visit, row, plan, driving, leg }: Omit<Props, "stop" | "isNo"> & { row: Row }) {
  const title = rowTitle(row);
  const { sign } = row;
  const watched = (plan?.watch ?? []).filter(
    ({ id, found }) =>
      found.length > 0 && driving.watch.some((line) => line.id === id && line.sign === sign.id),
  );
  const isFirst = row.place === "" || row.place === sign.places[0];
  const choose = (id: string) => {
    const answer = sign.choices.find((choice) => choice.id === id)?.title ?? id;
    void visit.put(
      replyChanges(visit, row, id as Reply, leg),
      text("phone-item-recorded", { title, answer }),
    );
  };
  return (
    <li
      class="drive-sign"
      data-sign={row.place === "" ? sign.id : `${sign.id}-${row.place}`}
      data-state={stateOf(visit, row) ?? "open"}
    >
      <p class="drive-title">{title}</p>
      {isFirst && <p class="hint">{sign.how}</p>}
      {isFirst && sign.figure !== undefined && <Figure visit={visit} fact={sign.figure} />}
      {isFirst &&
        watched.map(({ id }) => (
          <p key={id} class="hint">
            {text("driving-watch-here", {
              what: driving.watch.find((line) => line.id === id)?.title ?? "",
            })}
          </p>
        ))}
      <ChoiceButtons
        className="drive-answers"
        label={title}
        options={sign.choices.map(({ id, title: name }) => ({
          id,
          title: name,
          className: id === "bad" ? "choice-dangerous" : "",
        }))}
        chosen={replyOf(visit, row)}
        onChoose={choose}
      />
    </li>
  );
}

export function StopForm({ visit, driving, plan, leg, stop, isNo }: Props) {
  const [isParked, park] = useParked();
  const title = stopTitle(leg, stop);
  const rows = rowsAt(driving, stop);
  const left = rows.filter((row) => stateOf(visit, row) === null).length;
  const tap = async (at: number | typeof HOME) => {
    if (!wasAt(visit, at) && !(await visit.put(parkedChanges(at), null))) return;
    if (at !== HOME) park();
  };
  return (
    <section aria-label={title} data-stop={stop}>
      <h2>{stop === START || isParked ? title : text("driving-next", { stop: title })}</h2>
      {!isParked ? (
        <>
          {stop > START && !isNo && <p>{text("driving-go")}</p>}
          <button type="button" class="main" onClick={() => void tap(stop)}>
            {text("driving-parked")}
          </button>
          {stop > START && (
            <button type="button" onClick={() => void tap(HOME)}>
              {text("driving-at-home")}
            </button>
          )}
        </>
      ) : (
        <>
          <Distance
            visit={visit}
            put={`drive/${stop}/odometer`}
            label={text("phone-facts-odometer")}
          />
          <ul class="drive-signs">
            {rows.map((row) => (
              <Question
                key={`${row.sign.id} ${row.place}`}
                {...{ visit, row, plan, driving, leg }}
              />
            ))}
          </ul>
          <p role="status">{text("driving-left", { count: left })}</p>
        </>
      )}
    </section>
  );
}
