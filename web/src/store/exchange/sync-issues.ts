/** What stands in the way of an exchange, sorted by who can do something about it. */

import { type Said, saidOf, Told } from "../../shared/said";
import { BatchRefused } from "../log/events";
import { Refused, Unreachable } from "./server-api";

export type SyncIssueKind =
  | "unreachable"
  /** This phone is not paired. */
  | "pair"
  /** App and server speak different protocols: the app, or the server, is the older. */
  | "app_too_old"
  | "server_too_old"
  /** The server does not take one entry of this phone's own chain. */
  | "entry"
  /** The server cannot or will not take anything now: it says why. */
  | "server"
  /** What the server sent does not hold. */
  | "batch"
  /** This phone's own storage or judge. */
  | "phone"
  /** The server will not have a photo. */
  | "photo";

export interface SyncIssue {
  kind: SyncIssueKind;
  /** What went wrong: in the server's own sentence where it gave one. */
  said: Said;
  /** Of "entry": the own seq that is not taken. */
  seq?: number;
}

/** The server does not take an own entry. */
export class EntryRefused extends Told {
  override name = "EntryRefused";
  constructor(
    readonly seq: number,
    said: Said,
  ) {
    super(said);
  }
}

function kindOf(problem: unknown): SyncIssueKind {
  if (problem instanceof Unreachable) return "unreachable";
  if (problem instanceof EntryRefused) return "entry";
  if (problem instanceof BatchRefused) return "batch";
  if (!(problem instanceof Refused)) return "phone";
  if (problem.status === 401) return "pair";
  if (problem.status === 426) return "app_too_old";
  return problem.code === "server_too_old" ? "server_too_old" : "server";
}

export function issueOf(problem: unknown): SyncIssue {
  const trouble = { kind: kindOf(problem), said: saidOf(problem) };
  return problem instanceof EntryRefused ? { ...trouble, seq: problem.seq } : trouble;
}

/** With these nothing else of a round can go on either. */
export function endsRound({ kind }: SyncIssue): boolean {
  return kind === "unreachable" || kind === "pair";
}
