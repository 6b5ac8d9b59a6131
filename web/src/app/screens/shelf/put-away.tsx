/** What was archived and deleted: each opens as before, and comes back by one tap. */

import { useEffect, useState } from "preact/hooks";
import { inspection } from "../../../shared/event";
import { message } from "../../../shared/said";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { address } from "../../state/routes";
import { alarm, log, page } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { type VisitLine, visitLines } from "../../visit/visit-lines";
import { restoring } from "./manage";

import "../../../style/rows.css";

const SHELVES = [
  ["archived", "phone-shelf-archived"],
  ["deleted", "phone-shelf-deleted"],
] as const;

async function restore(visit: string): Promise<void> {
  const cells = await log.rows.cellsOf(visit);
  const changes = restoring((put) => cells[put]?.value ?? null);
  const scope = inspection(visit);
  await log.append(changes.map((change) => ({ scope, ...change })));
  page.onRecorded(changes.length);
}

export function PutAway() {
  const [lines, setLines] = useState<VisitLine[] | null>(null);
  const read = async () => setLines(await visitLines(page));
  useEffect(() => void read(), []);
  const bringBack = (visit: string) =>
    void restore(visit).then(read, () => {
      alarm.value = { said: message("phone-alarm-write"), again: () => bringBack(visit) };
    });
  const away = (lines ?? []).filter(({ shelf }) => shelf === "archived" || shelf === "deleted");
  return (
    <ScreenFrame title={text("phone-shelf-away")} back={{ screen: "cars" }}>
      {lines !== null && away.length === 0 && <p class="empty">{text("phone-shelf-none")}</p>}
      {SHELVES.map(([shelf, title]) => {
        const here = away.filter((line) => line.shelf === shelf);
        if (here.length === 0) return null;
        return (
          <section key={shelf} aria-label={text(title)}>
            <h2>{text(title)}</h2>
            <ul class="rows">
              {here.map(({ visit, name, detail }) => (
                <li key={visit} class="with-more" data-away={visit}>
                  <a class="row" href={address({ screen: "walk", visit })}>
                    <span class="row-title">{name}</span>
                    <span class="row-detail">{detail}</span>
                  </a>
                  <button type="button" onClick={() => bringBack(visit)}>
                    {text("phone-shelf-restore")}
                    <span class="visually-hidden">: {name}</span>
                  </button>
                </li>
              ))}
            </ul>
          </section>
        );
      })}
    </ScreenFrame>
  );
}
