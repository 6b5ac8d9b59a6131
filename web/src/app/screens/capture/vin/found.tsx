/** A number that was read or typed: what speaks against it, where it was read, and its year. */

import { useEffect, useState } from "preact/hooks";
import type { ItemJudgment } from "../../../../shared/contract";
import { MarkWord } from "../../../components/grades/grade-mark";
import { text } from "../../../text/catalogue";
import { placeLabel } from "../../../text/names";
import { say } from "../../../text/say";
import {
  checkVin,
  hasYear,
  otherVins,
  plainVin,
  type Recorded,
  recordedVins,
  vinChanges,
  vinPlaces,
  vinSentences,
  yearChange,
  yearsOf,
} from "../../../visit/capture/vin";
import type { Visit } from "../../../visit/visit";

interface FoundProps {
  visit: Visit;
  vin: string;
}

/** What a place is called; the car's own details where it is none. */
function placeText(place: string | null): string {
  return place === null ? text("codes-vin-details") : placeLabel(place);
}

/** Two numbers on one car: both stand, and that is the finding. */
export function OtherVins({ others }: { others: Recorded[] }) {
  if (others.length === 0) return null;
  return (
    <section class="vin-others" aria-label={text("codes-vin-differs")}>
      <p class="wrong">
        <MarkWord id="look_here" /> {text("codes-vin-differs")}
      </p>
      <ul>
        {others.map(({ place, number }) => (
          <li key={place}>
            {text("codes-vin-at", { place: placeText(place), number: plainVin(number) })}
          </li>
        ))}
      </ul>
    </section>
  );
}

/** The model year that its tenth character says, where the car has none: offered, never set. */
function Years({ visit, years }: { visit: Visit; years: number[] }) {
  if (hasYear(visit) || years.length === 0) return null;
  return (
    <div class="vin-years">
      {years.map((year) => (
        <button
          key={year}
          type="button"
          onClick={() =>
            void visit.put(
              [yearChange(year)],
              text("phone-item-recorded", {
                title: text("phone-facts-year"),
                answer: String(year),
              }),
            )
          }
        >
          {text("codes-vin-year", { year: String(year) })}
        </button>
      ))}
    </div>
  );
}

/** Where it was read; a place that has another number says so, and is replaced by its own tap. */
function Places({ visit, vin }: FoundProps) {
  const standing = recordedVins(visit);
  const places = vinPlaces(visit);
  const record = (place: string | null) =>
    void visit.put(
      vinChanges(visit, vin, place),
      text("phone-item-recorded", { title: placeText(place), answer: vin }),
    );
  if (places.length === 0) {
    if (standing.length > 0) return null;
    return (
      <button type="button" class="main" onClick={() => record(null)}>
        {text("codes-vin-keep")}
      </button>
    );
  }
  return (
    <>
      <p class="fact-label">{text("codes-vin-where")}</p>
      <div class="vin-places">
        {places.map((place) => {
          const there = standing.find((one) => one.place === place)?.number;
          const isOther = there !== undefined && plainVin(there) !== plainVin(vin);
          const isHere = there !== undefined && !isOther;
          return (
            <button key={place} type="button" aria-pressed={isHere} onClick={() => record(place)}>
              {isOther
                ? text("codes-vin-instead", { place: placeLabel(place) })
                : placeLabel(place)}
            </button>
          );
        })}
      </div>
    </>
  );
}

export function Found({ visit, vin, onAgain, onClose }: FoundProps & FoundWays) {
  const [judged, setJudged] = useState<ItemJudgment | null>(null);
  const year = visit.text("car/year");
  useEffect(() => {
    void checkVin(visit, vin).then(setJudged);
  }, [visit, vin, year]);
  return (
    <>
      <p class="vin-number" data-vin={vin}>
        {vin}
      </p>
      {vinSentences(judged).map((said) => (
        <p key={said.id + JSON.stringify(said.args)}>{say(said, visit.bundle.rules)}</p>
      ))}
      <OtherVins others={otherVins(visit, vin)} />
      <Places visit={visit} vin={vin} />
      <Years visit={visit} years={yearsOf(judged)} />
      <div class="vin-ways">
        <button type="button" onClick={onAgain}>
          {text("codes-vin-again")}
        </button>
        <button type="button" onClick={onClose}>
          {text("capture-done")}
        </button>
      </div>
    </>
  );
}

interface FoundWays {
  onAgain: () => void;
  onClose: () => void;
}
