/**
 * One complaint: the causes in words, the next test with its results under the thumb, what is known
 * already, what is ruled out, and the figures behind it.
 */

import { useState } from "preact/hooks";
import type { Complaint, Symptom, SymptomTest } from "../../../shared/contract";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { text } from "../../text/catalogue";
import type { Visit } from "../../visit/visit";
import { Causes, Found } from "./causes";
import { Known, Passed, RuledOut } from "./known";
import { Measures, TestedAgain } from "./measures";
import { Steps } from "./steps";
import { OtherTests, Outcomes, TestCard } from "./tests";
import { useComplaint } from "./use-complaint";
import { Working } from "./working";

/** What the parts of the screen are handed. */
export interface Shown {
  visit: Visit;
  /** The table as it is read, and as it was written, which is how it is judged. */
  shown: Symptom;
  written: Symptom;
  seen: Complaint;
  /** What each complaint is called. */
  titles: ReadonlyMap<string, string>;
}

export function testOf(symptom: Symptom, id: string): SymptomTest | undefined {
  return symptom.tests.find((test) => test.id === id);
}

export function ComplaintScreen(props: Omit<Shown, "seen">) {
  const { visit, shown, written } = props;
  const seen = useComplaint(visit, written);
  const [chosen, setChosen] = useState<string | null>(null);
  const offer = seen?.next.find(({ id }) => id === chosen) ?? seen?.next[0];
  const test = offer === undefined ? undefined : testOf(shown, offer.id);
  return (
    <ScreenFrame
      title={shown.title}
      back={{ screen: "trouble", visit: visit.id, complaint: null }}
      above={text("trouble-title")}
      foot={test === undefined ? undefined : <Outcomes visit={visit} shown={shown} test={test} />}
    >
      {seen === null ? (
        <p role="status">{text("phone-walk-opening")}</p>
      ) : (
        <>
          {seen.found.length === 0 && <p>{shown.says}</p>}
          <Found {...props} seen={seen} />
          <Causes {...props} seen={seen} />
          {test === undefined || offer === undefined ? (
            <p class="hint">
              {text(seen.found.length > 0 ? "trouble-no-next-found" : "trouble-no-next")}
            </p>
          ) : (
            <TestCard {...props} seen={seen} test={test} offer={offer}>
              <Steps {...props} seen={seen} test={test} />
            </TestCard>
          )}
          <Measures {...props} seen={seen} current={offer?.id ?? null} />
          <TestedAgain {...props} seen={seen} />
          <OtherTests {...props} seen={seen} current={offer?.id ?? null} onChoose={setChosen} />
          <Known {...props} seen={seen} />
          <RuledOut {...props} seen={seen} />
          <Passed {...props} seen={seen} />
          <Working {...props} seen={seen} />
        </>
      )}
    </ScreenFrame>
  );
}
