/**
 * At the kerb: may it be driven home and is anything dangerous; what to look at in the time left;
 * what it will cost and what it is worth. The seller's edition has no money and no way to it.
 */

import { useEffect, useState } from "preact/hooks";
import type { Assessment, Item, NextChecks } from "../../shared/contract";
import { Choices } from "../components/choice-buttons";
import { GradeWord } from "../components/grade-mark";
import { Picture, photosOf } from "../components/item-photos";
import { Frame } from "../components/screen-frame";
import { address } from "../state/router";
import { useAssessment } from "../state/use-assessment";
import type { Visit } from "../state/visit";
import { words } from "../text/en";
import { showToSeller } from "./seller-view";
import { carName } from "./walk";

const texts = words.kerb;
const TIMES = ["5", "15", "30", "60"];
/** What stands open of a list; the rest is one tap away. */
const SHOWN_REASONS = 5;

function itemRoute(visit: Visit, item: string): string {
  const area = visit.bundle.items.find(({ id }) => id === item)?.area ?? "";
  return address({ screen: "area", visit: visit.id, area, item });
}

/** Links to items, the first few at once and the rest one tap away. */
function Links({
  visit,
  rows,
  more,
}: {
  visit: Visit;
  rows: { item: string; text: string }[];
  more: (count: number) => string;
}) {
  const [all, setAll] = useState(false);
  return (
    <>
      <ul class="reasons-list">
        {(all ? rows : rows.slice(0, SHOWN_REASONS)).map(({ item, text }) => (
          <li key={`${item} ${text}`}>
            <a href={itemRoute(visit, item)}>{text}</a>
          </li>
        ))}
      </ul>
      {rows.length > SHOWN_REASONS && (
        <button type="button" class="more" aria-expanded={all} onClick={() => setAll(!all)}>
          {all ? words.item.less : more(rows.length - SHOWN_REASONS)}
        </button>
      )}
    </>
  );
}

function DriveHome({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const { answer, text, reasons, caution } = assessment.drive_home;
  // the same words about sixty items say nothing: what nobody looked at is a list of names
  const unseen = reasons
    .filter(({ seen }) => !seen)
    .map(({ item }) => ({
      item,
      text: visit.bundle.items.find(({ id }) => id === item)?.title ?? item,
    }));
  return (
    <section aria-label={texts.drive} data-answer={answer}>
      <h2>{texts.drive}</h2>
      <p class={`verdict verdict-${answer}`}>{text}</p>
      <Links visit={visit} rows={reasons.filter(({ seen }) => seen)} more={texts.moreReasons} />
      {unseen.length > 0 && (
        <>
          <h3>{texts.unseen}</h3>
          <Links visit={visit} rows={unseen} more={texts.moreItems} />
        </>
      )}
      <p class="caution">{caution}</p>
    </section>
  );
}

function WhatNext({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const [minutes, setMinutes] = useState("15");
  const [next, setNext] = useState<NextChecks | null>(null);
  const [all, setAll] = useState(false);
  useEffect(() => {
    let there = true;
    void visit.next(minutes).then((found) => {
      if (there) setNext(found);
    });
    return () => {
      there = false;
    };
  }, [visit, minutes, assessment]);
  return (
    <section aria-label={texts.next}>
      <h2>{texts.next}</h2>
      <Choices
        label={texts.minutes}
        className="times"
        options={TIMES.map((id) => ({ id, title: texts.minutesShort(id) }))}
        chosen={minutes}
        onChoose={setMinutes}
      />
      {next !== null && (
        <>
          <p>{next.text}</p>
          <ol class="rows">
            {(all ? next.items : next.items.slice(0, SHOWN_REASONS)).map(({ item, text }) => (
              <li key={item}>
                <a class="row" href={itemRoute(visit, item)}>
                  <span class="row-title">{text}</span>
                </a>
              </li>
            ))}
          </ol>
          {next.items.length > SHOWN_REASONS && (
            <button type="button" class="more" aria-expanded={all} onClick={() => setAll(!all)}>
              {all ? words.item.less : texts.moreItems(next.items.length - SHOWN_REASONS)}
            </button>
          )}
        </>
      )}
      <p>{assessment.coverage.text}</p>
    </section>
  );
}

function titleOf(visit: Visit, item: string): string {
  return visit.bundle.items.find(({ id }) => id === item)?.title ?? item;
}

/** Where a figure comes from: a list that a tap opens. */
function Folded({
  title,
  rows,
}: {
  title: string;
  rows: { id: string; text: string; to: string }[];
}) {
  if (rows.length === 0) return null;
  return (
    <details>
      <summary>{title}</summary>
      <ul class="reasons-list">
        {rows.map(({ id, text, to }) => (
          <li key={id}>
            <a href={to}>{text}</a>
          </li>
        ))}
      </ul>
    </details>
  );
}

function Money({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const { totals, reserve, price, currency, text, assumed } = assessment.money;
  const due = assessment.baseline.filter((row) => row.due);
  const money = (amount: number | null | undefined) =>
    amount == null ? texts.unknown : words.money(amount, currency);
  return (
    <section aria-label={texts.money}>
      <h2>{texts.money}</h2>
      <p>{text}</p>
      <dl class="sums">
        <dt>{texts.work}</dt>
        <dd>{texts.range(money(totals.low), money(totals.high))}</dd>
        <dt>{texts.reserve}</dt>
        <dd>{money(reserve.amount)}</dd>
        <dt>{texts.asking}</dt>
        <dd>{money(price.asking)}</dd>
        <dt>{texts.walkAway}</dt>
        <dd class="figure">{money(price.walk_away)}</dd>
      </dl>
      <p>{price.text}</p>
      {assumed.length > 0 && (
        <p class="hint">
          {texts.assumed}: {assumed.map((name) => texts.names[name] ?? name).join(", ")}.{" "}
          <a href={address({ screen: "facts", visit: visit.id })}>{words.change}</a>
        </p>
      )}
      <Folded
        title={texts.held(reserve.items.length)}
        rows={reserve.items.map(({ item, amount }) => ({
          id: item,
          text: `${titleOf(visit, item)}, ${money(amount)}`,
          to: itemRoute(visit, item),
        }))}
      />
      <Folded
        title={texts.due(due.length)}
        rows={due.map(({ id, item, text }) => ({ id, text, to: itemRoute(visit, item) }))}
      />
      <h3>{texts.arguments}</h3>
      <ul class="reasons-list">
        {(price.arguments ?? []).map((argument) => (
          <li key={`${argument.item} ${argument.text}`}>{argument.text}</li>
        ))}
      </ul>
    </section>
  );
}

export function Evidence({ visit, assessment }: { visit: Visit; assessment: Assessment }) {
  const items = assessment.findings
    .map((id) => visit.bundle.items.find((item) => item.id === id))
    .filter((item): item is Item => item !== undefined);
  return (
    <section aria-label={texts.evidence}>
      <h2>{texts.evidence}</h2>
      {items.length === 0 && <p>{texts.nothingFound}</p>}
      <ul class="rows">
        {items.map((item) => {
          const judged = assessment.items[item.id];
          return (
            <li key={item.id} class="evidence">
              <p class="row-title">{item.title}</p>
              <GradeWord grade={judged?.grade ?? null} />
              {judged?.reasons.map((reason) => (
                <p key={reason.text}>{reason.text}</p>
              ))}
              <ul class="photo-list">
                {photosOf(visit, item.id).map((sha256, index) => (
                  <li key={sha256}>
                    <Picture sha256={sha256} alt={words.photo.alt(item.title, index + 1)} />
                  </li>
                ))}
              </ul>
            </li>
          );
        })}
      </ul>
    </section>
  );
}

export function Kerb({ visit }: { visit: Visit }) {
  const assessment = useAssessment(visit);
  return (
    <Frame
      title={texts.title}
      back={{ screen: "walk", visit: visit.id }}
      above={carName(visit)}
      foot={
        <button type="button" onClick={() => void showToSeller(visit.id)}>
          {texts.toSeller}
        </button>
      }
    >
      {assessment === null ? (
        <p role="status">{texts.working}</p>
      ) : (
        <>
          <DriveHome visit={visit} assessment={assessment} />
          <WhatNext visit={visit} assessment={assessment} />
          <Money visit={visit} assessment={assessment} />
          <Evidence visit={visit} assessment={assessment} />
        </>
      )}
    </Frame>
  );
}
