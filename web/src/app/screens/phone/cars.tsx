/** The first screen: every visit on this phone, and the way to begin one. */

import { useEffect, useState } from "preact/hooks";
import { message } from "../../../shared/said";
import { ScreenFrame } from "../../components/frame/screen-frame";
import { AuthorityNotices } from "../../components/notices/authority-notice";
import { ClockNotice } from "../../components/notices/clock-notice";
import { LostStorageNotice } from "../../components/notices/lost-storage-notice";
import { address } from "../../state/routes";
import { alarm, appUpdate, page, router, syncState, updateReady } from "../../state/this-page";
import { text } from "../../text/catalogue";
import { readLines, type VisitLine } from "../../visit/visit-lines";
import { beginVisit } from "../../visit/visits";

import "../../../style/rows.css";
import "./cars.css";

function VisitRow({ line }: { line: VisitLine }) {
  const { visit, name, detail, open, isSealed, shelf, now } = line;
  const state = isSealed
    ? text("phone-cars-signed")
    : shelf === "empty"
      ? text("phone-cars-empty")
      : open === null
        ? ""
        : text("phone-cars-open", { count: open });
  return (
    <li class="with-more">
      <a class="row" href={address({ screen: "walk", visit })} data-visit={visit}>
        <span class="row-title">{name}</span>
        <span class="row-state">{state}</span>
        <span class="row-detail">{detail}</span>
        {now !== null && (
          <>
            <span class="row-detail row-now">{now.drive}</span>
            <span class="row-detail">{now.found}</span>
          </>
        )}
      </a>
      <a class="row-more" href={address({ screen: "manage", visit })}>
        <span class="visually-hidden">
          {text("phone-shelf-title")}: {name}
        </span>
        <svg viewBox="0 0 24 24" aria-hidden="true">
          <path d="M12 3a2 2 0 1 0 .1 0zM12 10a2 2 0 1 0 .1 0zM12 17a2 2 0 1 0 .1 0z" />
        </svg>
      </a>
    </li>
  );
}

/** The way to what was archived and deleted, where there is any. */
function Away({ count }: { count: number }) {
  if (count === 0) return null;
  return (
    <a class="button more" href={address({ screen: "away" })}>
      {text("phone-shelf-away-count", { count })}
    </a>
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
    void readLines(page, setLines);
  }, [answered]);
  const begin = async () => {
    try {
      router.go({ screen: "start", visit: await beginVisit(page) });
    } catch (failure) {
      if (failure instanceof DOMException) {
        alarm.value = { said: message("phone-alarm-write"), again: () => void begin() };
      } else setProblem(text("phone-cars-no-checklists"));
    }
  };
  const listed = (lines ?? []).filter(({ shelf }) => shelf === "" || shelf === "empty");
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
      {lines !== null && listed.length === 0 && (
        <>
          <p class="empty">{text("phone-cars-none")}</p>
          <a class="button" href={address({ screen: "guide" })}>
            {text("phone-guide-offer")}
          </a>
        </>
      )}
      <ul class="rows">
        {listed.map((line) => (
          <VisitRow key={line.visit} line={line} />
        ))}
      </ul>
      {listed.length > 1 && (
        <a class="button more" href={address({ screen: "compare" })}>
          {text("phone-cars-compare")}
        </a>
      )}
      <Away count={(lines ?? []).length - listed.length} />
    </ScreenFrame>
  );
}
