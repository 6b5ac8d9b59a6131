/**
 * How a car stands now, after work with proof, beside how it was found. The desk says the same
 * (server/bradawl/inspection/standing.py).
 */

import type { Assessment, DriveHome } from "../../shared/contract";
import type { Json } from "../../shared/event";
import { catalogue, text } from "../text/catalogue";
import { dateText } from "../text/formats";

/** The drive home as it stands; as it was found where work closed nothing. */
export function driveNow(assessment: Assessment): DriveHome {
  return assessment.now?.drive_home ?? assessment.drive_home;
}

/** `At the inspection on Jun 3, 2026: Trailer it.`; "" where work closed nothing. */
export function foundLine(assessment: Assessment, started: Json): string {
  if (assessment.now === undefined) return "";
  const verdict = catalogue.find(
    `judge-drive-${assessment.drive_home.answer.replaceAll("_", "-")}`,
  );
  const { date } = (started ?? {}) as { date?: Json };
  return typeof date === "string" && date !== ""
    ? text("judge-found-on", { date: dateText(date), verdict })
    : text("judge-found", { verdict });
}
