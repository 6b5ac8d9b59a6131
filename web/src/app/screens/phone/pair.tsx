/** Pairing: this phone asks, the desk approves; the code alone is worth nothing. */

import { useEffect, useState } from "preact/hooks";
import { askPairing, me, pollPairing, Refused } from "../../../store/exchange/server-api";
import { type PairingRequest, pairingRequestOf } from "../../../store/facts";
import { TextField } from "../../components/controls/text-field";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { address } from "../../state/routes";
import { facts, log, sync } from "../../state/this-page";
import { say, text } from "../../text/catalogue";

import "./pair.css";

const POLL_MS = 2_000;

type Step =
  | { step: "ask" }
  | ({ step: "waiting" } & PairingRequest)
  | { step: "approved" | "refused" | "expired" };

/** The next state of a request, or null while it waits; asks once. */
async function nextState(
  request: PairingRequest,
): Promise<"approved" | "refused" | "expired" | null> {
  try {
    const state = await pollPairing(request.secret);
    if (state === "waiting") return null;
    if (state !== "expired") return state;
    // An approval is handed out once. When its answer was lost on the way, the cookie may have
    // come all the same: only the server can tell.
    const isPaired = await me().then(
      ({ device }) => log.identity.get().then((own) => own.device === device),
      () => false,
    );
    return isPaired ? "approved" : "expired";
  } catch (problem) {
    if (problem instanceof Refused) throw problem;
    // No answer this time: ask again, unless the code has run out meanwhile.
    return Date.now() < request.until ? null : "expired";
  }
}

/** For a restart of the app; without it the phone merely asks once more. */
function keep(request: PairingRequest | null): Promise<void> {
  return facts.write("pairing", request).catch(() => undefined);
}

function sentenceFor(problem: unknown): string {
  return problem instanceof Refused ? say(problem.said) : text("phone-pair-unreachable");
}

/** Ask again and again what became of the request that is shown, until it is settled. */
function usePolling(
  step: Step,
  onSettled: (state: "approved" | "refused" | "expired") => void,
  onProblem: (sentence: string) => void,
): void {
  useEffect(() => {
    if (step.step !== "waiting") return;
    let isOver = false;
    // One question at a time: of two that cross, the second would be told "expired".
    const poll = async () => {
      while (!isOver) {
        await new Promise((settle) => setTimeout(settle, POLL_MS));
        if (isOver) return;
        try {
          const next = await nextState(step);
          if (isOver || next === null) continue;
          isOver = true;
          onSettled(next);
          await keep(null);
        } catch (problem) {
          onProblem(sentenceFor(problem));
        }
      }
    };
    void poll();
    return () => {
      isOver = true;
    };
  }, [step]);
}

/** The code that the person types at the desk, and how long it still counts. */
function ShownCode({ request }: { request: PairingRequest }) {
  const secondsLeft = () => Math.max(0, Math.round((request.until - Date.now()) / 1000));
  const [left_s, setLeft] = useState(secondsLeft());
  useEffect(() => {
    const timer = setInterval(() => setLeft(secondsLeft()), 1_000);
    return () => clearInterval(timer);
  }, [request]);
  return (
    <>
      <p>{text("phone-pair-waiting")}</p>
      <dl class="code">
        <dt>{text("phone-pair-code")}</dt>
        <dd>{request.code}</dd>
        <dt>{text("phone-pair-words")}</dt>
        <dd>{request.words}</dd>
      </dl>
      <p>
        {text("phone-pair-left", {
          time: `${Math.floor(left_s / 60)}:${String(left_s % 60).padStart(2, "0")}`,
        })}
      </p>
    </>
  );
}

function outcomeOf({ step }: Step): string {
  return step === "ask" || step === "waiting" ? "" : text(`phone-pair-${step}`);
}

export function Pairing() {
  const [step, setStep] = useState<Step>({ step: "ask" });
  const [name, setName] = useState<string>(text("phone-pair-default-name"));
  const [problem, setProblem] = useState<string | null>(null);
  const ask = async () => {
    setProblem(null);
    try {
      const answer = await askPairing(await log.identity.get(), name);
      if (answer.state === "approved") return setStep({ step: "approved" });
      const request = pairingRequestOf(answer);
      setStep({ step: "waiting", ...request });
      await keep(request);
    } catch (failure) {
      setProblem(sentenceFor(failure));
    }
  };
  useEffect(() => {
    // A phone that slept or was closed on the way to the desk goes on with the code it showed.
    void facts.read("pairing").then((request) => {
      if (request && request.until > Date.now()) setStep({ step: "waiting", ...request });
    });
  }, []);
  usePolling(step, (state) => setStep({ step: state }), setProblem);
  const isApproved = step.step === "approved";
  useEffect(() => {
    if (isApproved) void sync.now();
  }, [isApproved]);
  return (
    <section>
      {step.step === "ask" && <p>{text("phone-pair-intro")}</p>}
      {problem !== null && (
        <p class="wrong" role="alert">
          {problem}
        </p>
      )}
      {step.step === "ask" && (
        <TextField
          id="phone-name"
          label={text("phone-pair-name")}
          value={name}
          onRecord={setName}
        />
      )}
      {step.step === "waiting" && <ShownCode request={step} />}
      <p role="status">{outcomeOf(step)}</p>
      {step.step !== "waiting" && !isApproved && (
        <button type="button" class="main" onClick={() => void ask()}>
          {step.step === "ask" ? text("phone-pair-ask") : text("phone-pair-again")}
        </button>
      )}
      {isApproved && (
        <a class="button" href={address({ screen: "cars" })}>
          {text("phone-pair-on")}
        </a>
      )}
    </section>
  );
}

export function Pair() {
  return (
    <ScreenFrame title={text("phone-pair-title")} back={{ screen: "storage" }}>
      <Pairing />
      {/* Within the app's own scope, so that the test sees whether it runs from the home screen. */}
      <a class="button" href="/app/check">
        {text("phone-pair-test")}
      </a>
    </ScreenFrame>
  );
}
