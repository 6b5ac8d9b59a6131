/** The first screen: every visit on this phone, and the way to begin one. */

import { useEffect, useState } from "preact/hooks";
import type { Assessment } from "../../shared/contract";
import { AuthorityNotes } from "../components/authority-notice";
import { ClockNote } from "../components/clock-notice";
import { Frame } from "../components/screen-frame";
import { LostNote } from "../components/sync-troubles";
import { JudgeProblem } from "../device/judge-client";
import { readable } from "../device/local-time";
import { alarm, preferences, syncState, updateReady } from "../state/app-state";
import { takeUpdate } from "../state/app-update";
import { foldFromOthers } from "../state/bundles";
import { address, go } from "../state/router";
import { log, store } from "../state/storage";
import { Visit } from "../state/visit";
import { words } from "../text/en";

interface Line {
  visit: string;
  name: string;
  detail: string;
  first: number;
  open: number | null;
  sealed: boolean;
}

async function readLine(visit: string, first: number): Promise<Line> {
  const cells = await log.rows.cellsOf(visit);
  const text = (put: string) => {
    const value = cells[put]?.value;
    return typeof value === "string" || typeof value === "number" ? String(value) : "";
  };
  const name = [text("car/make"), text("car/model"), text("car/year")]
    .filter((part) => part !== "")
    .join(" ");
  const kept = await store.run((database) => database.get("assessments", visit));
  const assessment: Assessment | undefined = kept?.assessment;
  return {
    visit,
    name: name === "" ? words.cars.unnamed : name,
    detail: [text("car/registration"), text("about/place")]
      .filter((part) => part !== "")
      .join(" · "),
    first,
    open: assessment?.areas?.reduce((sum, area) => sum + area.open, 0) ?? null,
    sealed: Object.entries(cells).some(
      ([put, cell]) => put.startsWith("seal/") && cell.value !== null,
    ),
  };
}

export function Cars() {
  const [lines, setLines] = useState<Line[] | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const answered = syncState.value.answered;
  // read anew after each answer of the server: a sync may have brought visits
  useEffect(() => {
    void answered;
    void log.rows.visitsHere().then(async (rows) => {
      const show = async () =>
        setLines(await Promise.all(rows.map(({ visit, first }) => readLine(visit, first))));
      await show();
      // a visit that came by sync has no name until what others wrote is folded
      for (const { visit } of rows) {
        const folded = await foldFromOthers(visit).catch((failed) => {
          if (failed instanceof JudgeProblem) return 0;
          throw failed;
        });
        if (folded > 0) await show();
      }
    });
  }, [answered]);
  const begin = async () => {
    try {
      const visit = await Visit.begin(preferences.value.inspector, preferences.value.currency);
      go({ screen: "facts", visit });
    } catch (failed) {
      if (failed instanceof DOMException) {
        alarm.value = { text: words.alarm.write, again: () => void begin() };
      } else setProblem(words.cars.preparing);
    }
  };
  return (
    <Frame
      title={words.cars.title}
      back={null}
      above={words.app}
      foot={
        <button type="button" class="main" onClick={() => void begin()}>
          {words.cars.start}
        </button>
      }
    >
      <LostNote />
      <ClockNote />
      <AuthorityNotes />
      {updateReady.value && (
        <div class="offer" role="status">
          <p>{words.update.ready}</p>
          <button type="button" onClick={takeUpdate}>
            {words.update.take}
          </button>
        </div>
      )}
      {problem !== null && (
        <p class="wrong" role="alert">
          {problem}
        </p>
      )}
      {lines !== null && lines.length === 0 && <p class="empty">{words.cars.none}</p>}
      <ul class="rows">
        {(lines ?? []).map((line) => (
          <li key={line.visit}>
            <a
              class="row"
              href={address({ screen: "walk", visit: line.visit })}
              data-visit={line.visit}
            >
              <span class="row-title">{line.name}</span>
              <span class="row-state">
                {line.sealed
                  ? words.cars.sealed
                  : line.open === null
                    ? ""
                    : words.cars.open(line.open)}
              </span>
              <span class="row-detail">
                {[line.detail, words.cars.begun(readable(line.first))]
                  .filter((part) => part !== "")
                  .join(" · ")}
              </span>
            </a>
          </li>
        ))}
      </ul>
    </Frame>
  );
}
