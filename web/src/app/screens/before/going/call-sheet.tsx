/** The call sheet: each question as one says it, an answer by one tap, room for words. */

import { useState } from "preact/hooks";
import { ChoiceButtons, ToggleButtons } from "../../../components/controls/choice-buttons";
import { TextField } from "../../../components/controls/text-field";
import { today } from "../../../device/local-time";
import { address } from "../../../state/routes";
import { text } from "../../../text/catalogue";
import { listed, readableDay } from "../../../text/formats";
import {
  type Answered,
  against,
  answer,
  answered,
  type Call,
  callsOf,
  isAnswered,
  newCall,
  tapped,
  tellCall,
} from "../../../visit/before/going/calls";
import { TELLERS } from "../../../visit/offer/claims";
import type { Visit } from "../../../visit/visit";
import { WHO } from "../../ad/claim-row";

type Question = NonNullable<Visit["bundle"]["calls"]>[number];

/** Nobody says an ad on the phone. */
const SPOKEN = TELLERS.filter((one) => one !== "ad");

function callTitle({ who, name, date }: Call): string {
  return [name || text(WHO[who]), date && readableDay(date)].filter(Boolean).join(" · ");
}

/** Whom one speaks with, and when. */
function Who({ visit, call }: { visit: Visit; call: Call }) {
  const tell = (to: Call) =>
    void visit.put(
      tellCall(visit.besideItems(), to),
      text("phone-item-recorded", { title: text("before-calls-who"), answer: callTitle(to) }),
    );
  return (
    <details class="call-who">
      <summary>{callTitle(call)}</summary>
      <ChoiceButtons
        className="chips"
        label={text("before-calls-who")}
        options={SPOKEN.map((id) => ({ id, title: text(WHO[id]) }))}
        chosen={call.who}
        onChoose={(who) => tell({ ...call, who: who as Call["who"] })}
      />
      <TextField
        id="call-name"
        label={text("claims-name")}
        value={call.name}
        onRecord={(name) => tell({ ...call, name: name.trim() })}
      />
    </details>
  );
}

function Row({ visit, call, question }: { visit: Visit; call: Call; question: Question }) {
  const cells = visit.besideItems();
  const said = answered(cells, call, question);
  const titles = new Map(question.answers.map(({ id, title }) => [id, title]));
  const record = (to: Answered) =>
    void visit.put(
      answer(visit.besideItems(), call, question, to),
      text("phone-item-recorded", {
        title: question.title,
        answer: listed([...to.answers.map((id) => titles.get(id) ?? id), to.words].filter(Boolean)),
      }),
    );
  const tap = (id: string) => record(tapped(question, said, id));
  const buttons = {
    className: "chips",
    label: question.title,
    options: question.answers.map(({ id, title }) => ({ id, title })),
  };
  return (
    <section class="call-question" data-question={question.id} aria-label={question.title}>
      <h2 class="call-ask">{question.ask}</h2>
      {question.many ? (
        <ToggleButtons {...buttons} pressed={said.answers} onToggle={tap} />
      ) : (
        <ChoiceButtons {...buttons} chosen={said.answers[0] ?? null} onChoose={tap} />
      )}
      <details open={said.words !== ""}>
        <summary>
          {text("before-calls-words")}
          <span class="visually-hidden">: {question.title}</span>
        </summary>
        <TextField
          id={`words-${question.id}`}
          label={text("claims-words")}
          multiline={true}
          value={said.words}
          onRecord={(words) => record({ ...said, words: words.trim() })}
        />
      </details>
    </section>
  );
}

/** What was heard that speaks against driving there. */
function Against({ visit, call }: { visit: Visit; call: Call }) {
  const bad = against(visit.besideItems(), call, visit.bundle.calls ?? []);
  if (bad.length === 0) return null;
  return (
    <section class="call-against" aria-label={text("before-calls-against")}>
      <h2>{text("before-calls-against")}</h2>
      <ul>
        {bad.map(({ question, answer: { id, title } }) => (
          <li key={`${question.id}-${id}`}>
            {question.title}: {title}
          </li>
        ))}
      </ul>
    </section>
  );
}

export function CallSheet({ visit }: { visit: Visit }) {
  const [fresh, setFresh] = useState(() => newCall(today()));
  const [chosen, setChosen] = useState<string | null>(null);
  const questions = visit.bundle.calls ?? [];
  const calls = callsOf(visit.besideItems());
  const call =
    chosen === fresh.id
      ? (calls.find(({ id }) => id === fresh.id) ?? fresh)
      : (calls.find(({ id }) => id === chosen) ?? calls.at(-1) ?? fresh);
  const isBegun = calls.some(({ id }) => id === call.id);
  if (questions.length === 0) return <p class="hint">{text("before-older-checklist")}</p>;
  const left = questions.filter(
    (question) => !isAnswered(answered(visit.besideItems(), call, question)),
  ).length;
  const another = () => {
    const next = newCall(today());
    setFresh(next);
    setChosen(next.id);
  };
  return (
    <>
      <p class="hint">{text("before-calls-hint")}</p>
      <Against visit={visit} call={call} />
      {calls.length > 1 && (
        <ChoiceButtons
          className="chips"
          label={text("before-calls-which")}
          options={calls.map((one) => ({ id: one.id, title: callTitle(one) }))}
          chosen={call.id}
          onChoose={setChosen}
        />
      )}
      <Who key={call.id} visit={visit} call={call} />
      {questions.map((question) => (
        <Row key={`${call.id}-${question.id}`} visit={visit} call={call} question={question} />
      ))}
      <p role="status">{text("before-calls-left", { count: left })}</p>
      <a class="button" href={address({ screen: "ad", visit: visit.id })}>
        {text("before-calls-claims")}
      </a>
      {isBegun && (
        <button type="button" onClick={another}>
          {text("before-calls-another")}
        </button>
      )}
    </>
  );
}
