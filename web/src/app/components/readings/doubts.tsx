/** What the judge cannot tell of a reading: which unit, which number, which date. One tap settles it. */

import type { Item, Meaning, Problem, Reading } from "../../../shared/contract";
import { text } from "../../text/catalogue";
import { dateText } from "../../text/formats";
import { decimal } from "../../text/measures";
import { withUnit } from "../../text/names";
import { placesOf, readingPut, type Typed } from "../../visit/items/item-readings";
import type { Visit } from "../../visit/visit";
import { MarkWord } from "../grades/grade-mark";

import "./doubts.css";

function meaningText({ quantity }: Reading, { read, unit }: Meaning): string {
  if (quantity === "date") return dateText(read);
  return withUnit(read.includes("/") ? read : decimal(read), unit);
}

/** The reading as the person says it was meant: the same choice for each place that is in doubt. */
function settled(visit: Visit, { path, meanings = [] }: Problem, index: number, unit: string) {
  const stored = visit.value(path) as Typed | null;
  const meant = meanings[index]?.unit === unit ? meanings[index] : undefined;
  const meaning = meant ?? meanings.find((other) => other.unit === unit);
  if (stored === null || meaning === undefined) return [];
  const { typed, from } = stored;
  const { read } = meaning;
  const said = { ...(read === typed ? {} : { read }), ...(from === undefined ? {} : { from }) };
  return [{ put: path, value: { typed, unit, ...said, sure: true } }];
}

export function Doubts({
  visit,
  item,
  reading,
  onUnit,
}: {
  visit: Visit;
  item: Item;
  reading: Reading;
  onUnit: (unit: string) => void;
}) {
  const puts = placesOf(visit, item, reading).map((at) => readingPut(visit, item, reading, at));
  // where two people disagree, that is settled first
  const doubts = (visit.judged(item.id)?.problems ?? []).filter(
    ({ code, path }) =>
      code === "doubt" && puts.includes(path) && visit.cells.peek()[path]?.others.length === 0,
  );
  const meanings = doubts[0]?.meanings;
  if (meanings === undefined) return null;
  const settle = (meaning: Meaning, index: number) => {
    if (meaning.unit !== "") onUnit(meaning.unit);
    const changes = doubts.flatMap((doubt) => settled(visit, doubt, index, meaning.unit));
    const answer = meaningText(reading, meaning);
    void visit.put(changes, text("phone-item-recorded", { title: reading.title, answer }));
  };
  const question = text("reading-doubt", { name: reading.title, count: doubts.length });
  return (
    // biome-ignore lint/a11y/useSemanticElements: a fieldset cannot be laid out as a row everywhere
    <div class="doubt" role="group" aria-label={question}>
      <p>
        <MarkWord id="look_here" /> {question}
      </p>
      <div class="doubt-answers">
        {meanings.map((meaning, index) => (
          <button
            key={`${meaning.read} ${meaning.unit}`}
            type="button"
            onClick={() => settle(meaning, index)}
          >
            {meaningText(reading, meaning)}
          </button>
        ))}
      </div>
    </div>
  );
}
