/** What somebody says beside the ad, in their words; what it counts as is said before it is kept. */

import { useId, useState } from "preact/hooks";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { text } from "../../text/catalogue";
import { listed } from "../../text/formats";
import { noteClaim, TELLERS, type Teller } from "../../visit/offer/claims";
import type { Visit } from "../../visit/visit";
import { WHO } from "./claim-row";
import { kindTitle, useSpotted } from "./use-spotted";

export function NewClaim({ visit }: { visit: Visit }) {
  const [words, setWords] = useState("");
  const [who, setWho] = useState<Teller>("seller");
  const [isEmpty, setEmpty] = useState(false);
  const id = useId();
  const kinds = useSpotted(visit, words).map(({ kind }) => kind);
  const add = async () => {
    const said = words.trim();
    setEmpty(said === "");
    if (said === "") return;
    const changes = (kinds.length === 0 ? [""] : kinds).flatMap((kind) =>
      noteClaim({ kind, words: said, who }),
    );
    const claim = kinds.length === 0 ? said : listed(kinds.map((kind) => kindTitle(visit, kind)));
    if (await visit.put(changes, text("claims-noted", { claim }))) setWords("");
  };
  return (
    <section aria-label={text("claims-new")}>
      <h2>{text("claims-new")}</h2>
      <ChoiceButtons
        className="answers"
        label={text("claims-who")}
        options={TELLERS.map((one) => ({ id: one, title: text(WHO[one]) }))}
        chosen={who}
        onChoose={(one) => setWho(one as Teller)}
      />
      <div class="field">
        <label for={id}>{text("claims-words")}</label>
        {isEmpty && (
          <p class="wrong" role="alert">
            {text("claims-add-empty")}
          </p>
        )}
        <textarea
          id={id}
          rows={2}
          value={words}
          onInput={({ currentTarget }) => setWords(currentTarget.value)}
        />
      </div>
      {kinds.length > 0 && (
        <p role="status">
          {text("claims-counts-as", {
            claims: listed(kinds.map((kind) => kindTitle(visit, kind))),
          })}
        </p>
      )}
      <button type="button" class="main" onClick={() => void add()}>
        {text("claims-add")}
      </button>
    </section>
  );
}
