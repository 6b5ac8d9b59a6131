/** One claim: who says it and when, what its checks say, and what became of it. */

import { useState } from "preact/hooks";
import type { ClaimJudgment } from "../../../shared/contract";
import { ChoiceButtons } from "../../components/controls/choice-buttons";
import { TextField } from "../../components/controls/text-field";
import { text } from "../../text/catalogue";
import { readableDay } from "../../text/formats";
import { say } from "../../text/say";
import {
  type Claim,
  dropClaim,
  STANDINGS,
  type Standing,
  TELLERS,
  type Teller,
  whoValue,
} from "../../visit/offer/claims";
import type { Visit } from "../../visit/visit";
import { itemAddress, titleOf } from "../decision/item-links";
import { Photos } from "./photos";
import { claimTitle, STATES, settle } from "./settle";

export const WHO = {
  ad: "claims-who-ad",
  seller: "claims-who-seller",
  owner: "claims-who-owner",
  shop: "claims-who-shop",
  other: "claims-who-other",
} as const;

interface Props {
  visit: Visit;
  claim: Claim;
  judged: ClaimJudgment | undefined;
}

function Change({ visit, claim, judged }: Props) {
  const [isRefused, setRefused] = useState(false);
  const title = claimTitle(visit, claim);
  const standing = judged?.standing ?? claim.standing;
  const choose = (to: string) => {
    const isBare = to === "proven" && claim.photos.length === 0;
    setRefused(isBare);
    if (!isBare) settle(visit, claim, to as Standing);
  };
  const tell = (role: Teller, name: string) =>
    void visit.put(
      [{ put: `claims/${claim.id}/who`, value: whoValue(role, name) }],
      text("phone-item-recorded", { title, answer: name || text(WHO[role]) }),
    );
  return (
    <details>
      <summary>{text("claims-more")}</summary>
      <p class="chips-title">{text("claims-state")}</p>
      {isRefused && claim.photos.length === 0 && (
        <p class="wrong" role="alert">
          {text("claims-proof-first")}
        </p>
      )}
      <ChoiceButtons
        className="answers"
        label={text("claims-state")}
        options={STANDINGS.map((id) => ({ id, title: text(STATES[id]) }))}
        chosen={standing}
        onChoose={choose}
      />
      <Photos
        visit={visit}
        under={`claims/${claim.id}/photos`}
        label={text("claims-proof")}
        shown={claim.photos}
        alt={(number) => text("claims-proof-photo", { claim: title, number })}
      />
      <p class="chips-title">{text("claims-who")}</p>
      <ChoiceButtons
        className="answers"
        label={text("claims-who")}
        options={TELLERS.map((id) => ({ id, title: text(WHO[id]) }))}
        chosen={claim.who}
        onChoose={(role) => tell(role as Teller, claim.name)}
      />
      <TextField
        id={`who-${claim.id}`}
        label={text("claims-name")}
        value={claim.name}
        onRecord={(name) => tell(claim.who, name.trim())}
      />
      <button
        type="button"
        onClick={() =>
          void visit.put(
            dropClaim(visit.besideItems(), claim.id),
            text("claims-removed", { claim: title }),
          )
        }
      >
        {text("claims-remove")}
        <span class="visually-hidden">: {title}</span>
      </button>
    </details>
  );
}

export function ClaimRow({ visit, claim, judged }: Props) {
  const title = claimTitle(visit, claim);
  const standing = judged?.standing ?? claim.standing;
  const to = judged?.suggests;
  return (
    <li
      class="claim"
      data-claim={claim.kind || claim.id}
      data-standing={standing}
      aria-label={title}
    >
      <p class="claim-head">
        <span class="claim-title">{title}</span>
        <span class={`claim-state claim-${standing}`}>{text(STATES[standing])}</span>
      </p>
      {claim.kind !== "" && claim.words !== "" && <p class="claim-words">“{claim.words}”</p>}
      <p class="hint">
        {[text(WHO[claim.who]), claim.name, claim.date && readableDay(claim.date)]
          .filter((part) => part !== "")
          .join(" · ")}
      </p>
      {judged !== undefined && <p>{say(judged.said, visit.bundle.rules)}</p>}
      {to !== undefined && (
        <button type="button" onClick={() => settle(visit, claim, to)}>
          {text(to === "false" ? "claims-mark-false" : "claims-mark-seen")}
          <span class="visually-hidden">: {title}</span>
        </button>
      )}
      {standing === "claimed" && to === undefined && (judged?.items ?? []).length > 0 && (
        <details key="checks">
          <summary>{text("claims-checks")}</summary>
          <ul class="claim-checks">
            {judged?.items.map((item) => (
              <li key={item}>
                <a href={itemAddress(visit, item)}>{titleOf(visit, item)}</a>
              </li>
            ))}
          </ul>
        </details>
      )}
      <Change key="change" visit={visit} claim={claim} judged={judged} />
    </li>
  );
}
