/** Pairing: this phone asks, the desk approves; the code alone is worth nothing. */

import { useEffect, useState } from "preact/hooks";
import { askPairing, me, pollPairing, Refused } from "../../store/exchange/server-api";
import { askedNow, type PairingAsked } from "../../store/facts";
import { Frame } from "../components/screen-frame";
import { Field } from "../components/text-field";
import { address } from "../state/router";
import { facts, log } from "../state/storage";
import { sendNow } from "../state/sync-schedule";
import { words } from "../text/en";

const texts = words.pair;
const POLL_MS = 2_000;

type Step =
  | { step: "ask" }
  | ({ step: "waiting" } & PairingAsked)
  | { step: "approved" | "refused" | "expired" };

/** The next state of a request, or null while it waits; asks once. */
async function answered(asked: PairingAsked): Promise<"approved" | "refused" | "expired" | null> {
  try {
    const state = await pollPairing(asked.secret);
    if (state === "waiting") return null;
    if (state !== "expired") return state;
    // An approval is handed out once. When its answer was lost on the way, the cookie may have
    // come all the same: only the server can tell.
    const paired = await me().then(
      ({ device }) => log.identity.get().then((own) => own.device === device),
      () => false,
    );
    return paired ? "approved" : "expired";
  } catch (failed) {
    if (failed instanceof Refused) throw failed;
    // No answer this time: ask again, unless the code has run out meanwhile.
    return Date.now() < asked.until ? null : "expired";
  }
}

/** For a restart of the app; without it the phone merely asks once more. */
function keep(asked: PairingAsked | null): Promise<void> {
  return facts.write("pairing", asked).catch(() => undefined);
}

export function Pairing() {
  const [step, setStep] = useState<Step>({ step: "ask" });
  const [name, setName] = useState<string>(texts.defaultName);
  const [problem, setProblem] = useState<string | null>(null);
  const [left, setLeft] = useState(0);
  const ask = async () => {
    setProblem(null);
    try {
      const answer = await askPairing(await log.identity.get(), name);
      if (answer.state === "approved") return setStep({ step: "approved" });
      const asked = askedNow(answer);
      setStep({ step: "waiting", ...asked });
      await keep(asked);
    } catch (failed) {
      setProblem(failed instanceof Refused ? failed.message : texts.unreachable);
    }
  };
  useEffect(() => {
    // A phone that slept or was closed on the way to the desk goes on with the code it showed.
    void facts.read("pairing").then((asked) => {
      if (asked && asked.until > Date.now()) setStep({ step: "waiting", ...asked });
    });
  }, []);
  useEffect(() => {
    if (step.step === "approved") void sendNow();
    if (step.step !== "waiting") return;
    let over = false;
    // One question at a time: of two that cross, the second would be told "expired".
    const poll = async () => {
      while (!over) {
        await new Promise((settle) => setTimeout(settle, POLL_MS));
        if (over) return;
        try {
          const next = await answered(step);
          if (over || next === null) continue;
          over = true;
          setStep({ step: next });
          await keep(null);
        } catch (failed) {
          setProblem(failed instanceof Refused ? failed.message : texts.unreachable);
        }
      }
    };
    const count = () => setLeft(Math.max(0, Math.round((step.until - Date.now()) / 1000)));
    count();
    const timer = setInterval(count, 1_000);
    void poll();
    return () => {
      over = true;
      clearInterval(timer);
    };
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
      <p role="status">
        {done
          ? texts.approved
          : step.step === "refused"
            ? texts.refused
            : step.step === "expired"
              ? texts.expired
              : ""}
      </p>
      {step.step !== "waiting" && !done && (
        <button type="button" class="main" onClick={() => void ask()}>
          {step.step === "ask" ? texts.ask : texts.again}
        </button>
      )}
      {done && (
        <a class="button" href={address({ screen: "cars" })}>
          {texts.on}
        </a>
      )}
    </section>
  );
}

export function Pair() {
  return (
    <Frame title={texts.title} back={{ screen: "storage" }}>
      <Pairing />
      {/* Within the app's own scope, so that the test sees whether it runs from the home screen. */}
      <a class="button" href="/app/check">
        {texts.test}
      </a>
    </Frame>
  );
}
