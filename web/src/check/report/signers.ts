/**
 * What each signature says against a file: its time, and names that could be taken for a known one.
 * The twin of server/bradawl/report/checking/signers_check.py; there is no record of the shop's here.
 */

import type { KnownSigner, Shop } from "../shop";
import type { Signature } from "../signature/signatures";
import { hidesCharacters, likeness, quoted } from "./names";
import type { Sentence } from "./verdict";

type Known = Pick<Shop, "signers" | "confusables">;

/** Sentences that make a file a changed one, and others to be said beside. */
export interface Against {
  problems: Sentence[];
  cautions: Sentence[];
}

/** No report is older than the program that writes it. */
const FIRST = Date.UTC(2025, 0, 1);
const DAY_MS = 24 * 60 * 60_000;

/** What is wrong with the time of a signature. */
export function timeProblems({ made, certificate }: Signature, now: number): Sentence[] {
  if (made === null) return [{ id: "report-verify-no-time" }];
  const said: Sentence[] = [];
  if (made > now + DAY_MS || made < FIRST) {
    said.push({ id: "report-verify-implausible", args: { when: made } });
  }
  const { begins, ends } = certificate;
  if (made < begins || made > ends) {
    const args = { begins: dayOf(begins), ends: dayOf(ends) };
    said.push({ id: "report-verify-outside-validity", args });
  }
  return said;
}

/** What is wrong with the names of a signature by a key that nobody here knows. */
export function nameProblems({ certificate, claimed }: Signature, known: Known): Against {
  const against: Against = { problems: [], cautions: [] };
  const names = [certificate.name, ...certificate.names, ...(claimed === "" ? [] : [claimed])];
  for (const name of [...new Set(known.signers.map((signer) => signer.name))].sort()) {
    const alike = names.map((one) => likeness(one, name, known.confusables));
    const both = { name: quoted(certificate.name), known: quoted(name) };
    if (names.includes(name)) {
      against.problems.push({ id: "report-verify-borrowed-name", args: { name: quoted(name) } });
    } else if (alike.includes("same")) {
      against.problems.push({ id: "report-verify-lookalike", args: both });
    } else if (alike.includes("near")) {
      against.cautions.push({ id: "report-verify-similar", args: both });
    }
  }
  if (names.some(hidesCharacters)) against.problems.push({ id: "report-verify-hidden-letters" });
  if (claimed !== "" && claimed !== certificate.name) {
    const args = { name: quoted(certificate.name), other: quoted(claimed) };
    against.problems.push({ id: "report-verify-two-names", args });
  }
  return against;
}

/** What the shop says of the issuer's key; `isDoubtful` where nobody but the shop can tell. */
export function standingOf(
  { made }: Signature,
  { standing, until }: KnownSigner,
): Against & { isDoubtful: boolean } {
  const said = (id: Sentence["id"]): Sentence[] => [{ id, args: { date: until } }];
  const nothing = { problems: [], cautions: [], isDoubtful: false };
  const signed = made === null ? "" : dayOf(made);
  if (standing === "lost") {
    if (signed >= until) return { ...nothing, problems: said("report-verify-lost") };
    // whoever has a key also sets the clock
    return { ...nothing, cautions: said("report-verify-lost-perhaps"), isDoubtful: true };
  }
  if (standing !== "replaced") return nothing;
  if (until !== "" && signed > until)
    return { ...nothing, problems: said("report-verify-retired") };
  return { ...nothing, cautions: said("check-retired") };
}

function dayOf(ms: number): string {
  return new Date(ms).toISOString().slice(0, 10);
}
