/** The first screen: every visit on this phone, and the way to begin one. */

import { useEffect, useState } from "preact/hooks";
import type { Assessment } from "../../../shared/contract";
import { message } from "../../../shared/said";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { AuthorityNotices } from "../../components/notices/authority-notice";
import { ClockNotice } from "../../components/notices/clock-notice";
import { LostStorageNotice } from "../../components/notices/lost-storage-notice";
import { JudgeProblem } from "../../device/judge";
import { address } from "../../state/routes";
import {
  alarm,
  appUpdate,
  bundles,
  log,
  page,
  router,
  store,
  syncState,
  updateReady,
} from "../../state/this-page";
import { catalogue, text } from "../../text/catalogue";
import { readableDay } from "../../text/formats";
import { carNameOf, textIn } from "../../visit/item-record";
import { driveNow, foundLine } from "../../visit/standing";
import { beginVisit } from "../../visit/visits";

import "../../../style/rows.css";
import "./cars.css";

/** A visit as one row of the list. */
interface VisitLine {
  visit: string;
  name: string;
  detail: string;
  first: number;
  open: number | null;
  isSealed: boolean;
  /** After work with proof: may it be driven, and what was answered at the inspection. */
  now: { drive: string; found: string } | null;
}

async function readLine(visit: string, first: number): Promise<VisitLine> {
  const cells = await log.rows.cellsOf(visit);
  const row = await store.run((database) => database.get("assessments", visit));
  const assessment: Assessment | undefined = row?.assessment;
  return {
    visit,
    name: carNameOf((put) => textIn(cells, put)),
    detail: [textIn(cells, "car/registration"), textIn(cells, "about/place")]
      .filter((part) => part !== "")
      .join(" · "),
    first,
    open: assessment?.areas?.reduce((sum, area) => sum + area.open, 0) ?? null,
    now:
      assessment?.now === undefined
        ? null
        : {
            drive: catalogue.find(`drive-${driveNow(assessment).answer.replaceAll("_", "-")}`),
            found: foundLine(assessment, cells["about/started"]?.value ?? null),
          },
    isSealed: Object.entries(cells).some(
      ([put, cell]) => put.startsWith("seal/") && cell.value !== null,
    ),
  };
}

/** Read the list; once more for each visit that has no name until what others wrote is folded. */
async function readLines(show: (lines: VisitLine[]) => void): Promise<void> {
  const rows = await log.rows.visitsHere();
  const read = () => Promise.all(rows.map(({ visit, first }) => readLine(visit, first)));
  show(await read());
  for (const { visit } of rows) {
    const folded = await bundles.foldFromOthers(visit).catch((problem) => {
      if (problem instanceof JudgeProblem) return 0;
      throw problem;
    });
    if (folded > 0) show(await read());
  }
}

function VisitRow({ line }: { line: VisitLine }) {
  const { visit, name, detail, first, open, isSealed, now } = line;
  const state = isSealed
    ? text("phone-cars-signed")
    : open === null
      ? ""
      : text("phone-cars-open", { count: open });
  return (
    <li>
      <a class="row" href={address({ screen: "walk", visit })} data-visit={visit}>
        <span class="row-title">{name}</span>
        <span class="row-state">{state}</span>
        <span class="row-detail">
          {[detail, text("phone-cars-started", { date: readableDay(first) })]
            .filter((part) => part !== "")
            .join(" · ")}
        </span>
        {now !== null && (
          <>
            <span class="row-detail row-now">{now.drive}</span>
            <span class="row-detail">{now.found}</span>
          </>
        )}
      </a>
    </li>
  );
}

function UpdateOffer() {
  if (!updateReady.value) return null;
  return (
    <div class="offer" role="status">
      <p>{text("phone-update-ready")}</p>
      <button type="button" onClick={() => appUpdate.take()}>
        {text("phone-update-take")}
      </button>
    </div>
  );
}

export function Cars() {
  const [lines, setLines] = useState<VisitLine[] | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const { answered } = syncState.value;
  // read anew after each answer of the server: a sync may have brought visits
  useEffect(() => {
    void answered;
    void readLines(setLines);
  }, [answered]);
  const begin = async () => {
    try {
      router.go({ screen: "facts", visit: await beginVisit(page) });
    } catch (failure) {
      if (failure instanceof DOMException) {
        alarm.value = { said: message("phone-alarm-write"), again: () => void begin() };
      } else setProblem(text("phone-cars-no-checklists"));
    }
  };
  return (
    <ScreenFrame
      title={text("phone-cars-title")}
      back={null}
      above={text("phone-app")}
      foot={
        <button type="button" class="main" onClick={() => void begin()}>
          {text("phone-cars-start")}
        </button>
      }
    >
      <LostStorageNotice />
      <ClockNotice />
      <AuthorityNotices />
      <UpdateOffer />
      {problem !== null && (
        <p class="wrong" role="alert">
          {problem}
        </p>
      )}
      {lines?.length === 0 && <p class="empty">{text("phone-cars-none")}</p>}
      <ul class="rows">
        {(lines ?? []).map((line) => (
          <VisitRow key={line.visit} line={line} />
        ))}
      </ul>
    </ScreenFrame>
  );
}
