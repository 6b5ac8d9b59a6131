/** How a test is done, step by step; a reading has its field at the step where it is taken. */

import type { SymptomTest, TestStep } from "../../../shared/contract";
import { ReadingGroup } from "../../components/readings/reading-group";
import { text } from "../../text/catalogue";
import type { Shown } from "./complaint";
import { NewReading } from "./measures";

function Field(props: Shown & { test: SymptomTest; step: TestStep }) {
  const { visit, test, step, seen } = props;
  const own = test.measures?.find(({ id }) => id === step.read);
  if (own !== undefined) {
    const phase = seen.found.length > 0 ? "after" : "before";
    return <NewReading {...props} reading={own} phase={phase} />;
  }
  const item = visit.item(test.takes);
  const reading = item?.readings.find(({ id }) => id === step.read);
  if (item === undefined || reading === undefined) return null;
  return <ReadingGroup visit={visit} item={item} reading={reading} onPreview={() => undefined} />;
}

export function Steps(props: Shown & { test: SymptomTest }) {
  const { steps = [] } = props.test;
  if (steps.length === 0) return null;
  return (
    <ol class="trouble-steps" aria-label={text("trouble-steps")}>
      {steps.map((step) => (
        <li key={step.do}>
          {step.do}
          {step.read !== undefined && <Field {...props} step={step} />}
        </li>
      ))}
    </ol>
  );
}
