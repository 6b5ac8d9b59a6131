/** What was found the last time that somebody looked at this car, and what has changed since. */

import type { Again, Grade, SinceThen } from "../../../../shared/contract";
import { MARK_OF_GRADE } from "../../../../shared/marks";
import { MarkWord } from "../../../components/grades/grade-mark";
import { PhotoPicture } from "../../../components/photos/photo-picture";
import { address } from "../../../state/routes";
import { text } from "../../../text/catalogue";
import { money, readableDay } from "../../../text/formats";
import { gradeName } from "../../../text/names";
import { useAgain, useEarlier } from "../../../visit/after/use-leaving";
import { photosOf } from "../../../visit/items/item-record";
import type { Visit } from "../../../visit/visit";
import { titleOf } from "../../decision/item-links";
import { PassingNote } from "./pass";

import "../../decision/decision.css";
import "./leaving.css";

function AskedThen({ again, currency }: { again: Again; currency: string }) {
  const { asked_then: then, asked_now: now } = again;
  const change = then === null || now === null ? null : now - then;
  const by = { change: money(Math.abs(change ?? 0), currency) };
  return (
    <>
      <dl class="sums">
        {then !== null && (
          <>
            <dt>{text("leaving-asked-then")}</dt>
            <dd>{money(then, currency)}</dd>
          </>
        )}
        {now !== null && (
          <>
            <dt>{text("leaving-asked-now")}</dt>
            <dd>{money(now, currency)}</dd>
          </>
        )}
      </dl>
      {change !== null && (
        <p data-change={change}>
          {change === 0
            ? text("leaving-asked-same")
            : text(change < 0 ? "leaving-asked-less" : "leaving-asked-more", by)}
        </p>
      )}
    </>
  );
}

function sinceText({ since, now }: SinceThen): string {
  if (since === "worse" || since === "better") {
    return text(`leaving-since-${since}`, { grade: gradeName(now as Grade) });
  }
  return text(`leaving-since-${since}`);
}

function Found({ visit, earlier, row }: { visit: Visit; earlier: Visit; row: SinceThen }) {
  const of = row.then === "" ? visit : earlier;
  const title = titleOf(of, row.item);
  const [photo] = photosOf(of, row.item);
  const grade = (row.then === "" ? row.now : row.then) as Grade;
  return (
    <li data-since={row.since} class={photo === undefined ? undefined : "with-photo"}>
      {photo !== undefined && (
        <PhotoPicture sha256={photo} alt={text("phone-photo-alt", { title, number: 1 })} />
      )}
      <span>
        <span class="row-title">{title}</span>
        <span class="hint">
          <MarkWord id={MARK_OF_GRADE[grade]} />
        </span>
        <span>{sinceText(row)}</span>
      </span>
    </li>
  );
}

function Earlier({ visit, earlier }: { visit: Visit; earlier: Visit }) {
  const again = useAgain(visit, earlier);
  const currency = visit.text("about/currency");
  if (again === null) return <p role="status">{text("leaving-before-coming")}</p>;
  const found = again.rows.filter(({ since }) => since !== "new");
  const rows = [...found, ...again.rows.filter(({ since }) => since === "new")];
  return (
    <article data-earlier={earlier.id}>
      <h3>{text("leaving-before-on", { date: readableDay(again.date) })}</h3>
      {again.passed !== undefined && (
        <p class="leaving-passed">
          <PassingNote passing={again.passed} currency={currency} />
        </p>
      )}
      <AskedThen again={again} currency={currency} />
      {found.length === 0 && <p class="hint">{text("leaving-found-none")}</p>}
      {rows.length > 0 && (
        <ul class="leaving-three" aria-label={text("leaving-found-then")}>
          {rows.map((row) => (
            <Found key={`${row.item} ${row.since}`} visit={visit} earlier={earlier} row={row} />
          ))}
        </ul>
      )}
    </article>
  );
}

export function Before({ visit }: { visit: Visit }) {
  const earlier = useEarlier(visit) ?? [];
  if (earlier.length === 0) return null;
  return (
    <section aria-label={text("leaving-before")}>
      <h2>{text("leaving-before")}</h2>
      {earlier.map((one) => (
        <Earlier key={one.id} visit={visit} earlier={one} />
      ))}
    </section>
  );
}

/** One line that leads there; nothing for a car that is new. */
export function SeenBefore({ visit }: { visit: Visit }) {
  const [latest] = useEarlier(visit) ?? [];
  if (latest === undefined) return null;
  const { date = "" } = (latest.value("about/started") ?? {}) as { date?: string };
  return (
    <a class="button" href={address({ screen: "leaving", visit: visit.id, part: null })}>
      {text("leaving-before-on", { date: readableDay(date) })}. {text("leaving-before-see")}
    </a>
  );
}
