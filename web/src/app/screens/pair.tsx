/** Pairing: this phone asks, the desk approves; the code alone is worth nothing. */

import { useEffect, useState } from "preact/hooks";
import { askPairing, pollPairing, Refused } from "../../store/api";
import { deviceId } from "../../store/meta";
import { Field } from "../parts/field";
import { Frame } from "../parts/frame";
import { sendNow } from "../syncing";
import { words } from "../words";

const texts = words.pair;
const POLL_MS = 2_000;

type Step =
  | { step: "ask" }
  | { step: "waiting"; code: string; words: string; secret: string; until: number }
  | { step: "approved" | "refused" | "expired" };

export function Pairing() {
  const [step, setStep] = useState<Step>({ step: "ask" });
  const [name, setName] = useState<string>(texts.defaultName);
  const [problem, setProblem] = useState<string | null>(null);
  const [left, setLeft] = useState(0);
  const ask = async () => {
    setProblem(null);
    try {
      const answer = await askPairing(await deviceId(), name);
      if (answer.state === "approved") setStep({ step: "approved" });
      else {
        setLeft(answer.seconds_left);
        setStep({ step: "waiting", ...answer, until: Date.now() + answer.seconds_left * 1000 });
      }
    } catch (failed) {
      setProblem(failed instanceof Refused ? failed.message : texts.unreachable);
    }
  };
  useEffect(() => {
    if (step.step === "approved") void sendNow();
    if (step.step !== "waiting") return;
    const timer = setInterval(() => {
      setLeft(Math.max(0, Math.round((step.until - Date.now()) / 1000)));
      pollPairing(step.secret).then(
        (state) => {
          if (state !== "waiting") setStep({ step: state });
        },
        (failed) => {
          // no answer this time is no answer at all: ask again in two seconds
          if (failed instanceof Refused) setProblem(failed.message);
        },
      );
    }, POLL_MS);
    return () => clearInterval(timer);
  }, [step]);
  const done = step.step === "approved";
  return (
    <section>
      {step.step === "ask" && <p>{texts.intro}</p>}
      {problem !== null && (
        <p class="wrong" role="alert">
          {problem}
        </p>
      )}
      {step.step === "ask" && (
        <Field id="phone-name" label={texts.name} value={name} onRecord={setName} />
      )}
      {step.step === "waiting" && (
        <>
          <p>{texts.waiting}</p>
          <dl class="code">
            <dt>{texts.code}</dt>
            <dd>{step.code}</dd>
            <dt>{texts.wordsLabel}</dt>
            <dd>{step.words}</dd>
          </dl>
          <p>{texts.left(left)}</p>
        </>
      )}
      {step.step !== "waiting" && !done && (
        <button type="button" class="main" onClick={() => void ask()}>
          {step.step === "ask" ? texts.ask : texts.again}
        </button>
      )}
      <p role="status">
        {done
          ? texts.approved
          : step.step === "refused"
            ? texts.refused
            : step.step === "expired"
              ? texts.expired
              : ""}
      </p>
    </section>
  );
}

export function Pair() {
  return (
    <Frame title={texts.title} back={{ screen: "storage" }}>
      <Pairing />
    </Frame>
  );
}
