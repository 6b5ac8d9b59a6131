/**
 * The verdict over a file: genuine, unchanged but by nobody known, or changed, damaged or forged.
 *
 * Genuine needs a key that the shop built into this page or whose fingerprint a person typed. What
 * a link, a code or the file itself says of a key never makes it that.
 */

import type { CheckMessages, MessageArgument } from "../../shared/messages";
import { sha256 } from "../../store/encoding";
import type { PdfDocument } from "../pdf/file";
import { latin, PdfError } from "../pdf/values";
import type { KnownSigner, Shop } from "../shop";
import type { Certificate } from "../signature/certificate";
import { type Change, type Signature, type SignedFile, signedFile } from "../signature/signatures";
import { foreignIn } from "./foreign";
import { parsedOnce } from "./json";
import { quoted } from "./names";
import { MANIFEST, type Parts, partsOf, RECORD } from "./parts";
import { type AttachedRecord, checkRecord, type RecordCheck, recordOf } from "./record";
import { nameProblems, standingOf, timeProblems } from "./signers";

export type Verdict = "genuine" | "unknown" | "changed";

/** A message of the catalogue, unsaid; days are ISO dates, the moment `when` milliseconds since 1970. */
export interface Sentence {
  id: keyof CheckMessages & string;
  args?: Record<string, MessageArgument>;
}

/** What the manifest says (server/bradawl/report/pdf/archival.py). */
export interface Manifest {
  report: string;
  edition: string;
  visit: string;
  made: string;
  today: string;
  replaces: string;
  language: string;
  record_sha256: string;
  pages: string[];
  judge?: string;
}

export interface Check {
  verdict: Verdict;
  sentences: Sentence[];
  /** The issuer's first; empty where nothing is signed as it should be. */
  signatures: Signature[];
  /** By what the issuer's key is known; null for nobody. */
  known: KnownSigner | "typed" | null;
  issued: PdfDocument | null;
  manifest: Manifest | null;
  record: AttachedRecord | null;
  seal: RecordCheck | null;
}

/** What a person trusts: the page's own keys, and the digits that were typed. */
export type Trust = Pick<Shop, "signers" | "confusables"> & { typed: string };

/** Digits of a fingerprint that must be typed at least. */
export const LEAST_DIGITS = 32;
/** Between the moment that a report names and its signature. */
const SIGNING_MS = 24 * 60 * 60_000;

const NOTHING = {
  signatures: [],
  known: null,
  issued: null,
  manifest: null,
  record: null,
  seal: null,
} satisfies Partial<Check>;

const CHANGES: Record<Change, Sentence["id"]> = {
  added: "report-verify-added",
  "not-intact": "report-verify-not-intact",
  "not-valid": "report-verify-not-valid",
  "own-words": "report-verify-own-words",
  "something-else": "report-verify-something-else",
};

/** By what a reader demanded of a signature and did not find: where that can be said. */
const REFUSED: Record<string, Sentence["id"]> = {
  form: "report-verify-envelope",
  hex: "report-verify-hex",
  method: "report-verify-method",
  padding: "report-verify-padding",
  "rare-key": "report-verify-rare-key",
  spare: "report-verify-spare-certificate",
  unnamed: "report-verify-unnamed-certificate",
  weak: "report-verify-weak",
};

function changed(id: Sentence["id"], also: Partial<Check> = {}): Check {
  return { ...NOTHING, ...also, verdict: "changed", sentences: [{ id }] };
}

/** Hex digits in groups of four, as they stand on paper. */
export function grouped(digits: string): string {
  return (digits.toUpperCase().match(/.{1,4}/g) ?? []).join(" ");
}

/** Hex digits alone, in lower case. */
export function digitsOf(typed: string): string {
  return typed.replace(/[\s:.-]/g, "").toLowerCase();
}

/** Never throws for what a file contains. */
export async function check(file: Uint8Array<ArrayBuffer>, trust: Trust): Promise<Check> {
  if (latin(file.subarray(0, 5)) !== "%PDF-") return changed("report-verify-no-pdf");
  let found: SignedFile;
  try {
    found = await signedFile(file);
  } catch (problem) {
    if (!(problem instanceof PdfError)) return changed("report-verify-confused");
    const refused = REFUSED[problem.message];
    if (refused !== undefined) return changed(refused);
    const isWhole = latin(file.subarray(-8)).trimEnd().endsWith("%%EOF");
    return changed(isWhole ? "report-verify-damaged" : "report-verify-cut-off");
  }
  const [issuer] = found.signatures;
  if (issuer === undefined || found.issued === null) return changed("report-verify-unsigned");
  const signed = { signatures: found.signatures, issued: found.issued };
  if (found.changes.length > 0) {
    const sentences = found.changes.map((change) => ({ id: CHANGES[change] }));
    return { ...NOTHING, ...signed, verdict: "changed", sentences };
  }
  let contents: Contents;
  try {
    const [foreign] = foreignIn(found.issued);
    if (foreign !== undefined) return changed(foreign, signed);
    const read = await contentsOf(await partsOf(found.issued));
    if ("id" in read) return { ...NOTHING, ...signed, verdict: "changed", sentences: [read] };
    contents = read;
  } catch {
    // whatever a stranger's file makes fail in here: it is not as this product writes it
    return changed("report-verify-confused", signed);
  }
  return { ...signed, ...contents, ...judgedSigners(found.signatures, contents.manifest, trust) };
}

type Contents = { manifest: Manifest } & Pick<Check, "record" | "seal">;

/** What the issuer signed, held against one another; else the id of what is wrong with it. */
async function contentsOf({ files, isTwice, pages }: Parts): Promise<Contents | Sentence> {
  const [recordBytes, manifestBytes] = [files.get(RECORD), files.get(MANIFEST)];
  if (recordBytes === undefined || manifestBytes === undefined) {
    return { id: "report-verify-no-record" };
  }
  if (isTwice) return { id: "report-verify-attached-twice" };
  if (files.size > 2) return { id: "report-verify-attached-more" };
  const manifest = parsedOnce(manifestBytes) as unknown as Manifest;
  if ((await sha256(recordBytes)) !== manifest.record_sha256) {
    return { id: "report-verify-other-record" };
  }
  if (JSON.stringify(pages) !== JSON.stringify(manifest.pages)) {
    return { id: "report-verify-other-pages" };
  }
  const record = recordOf(recordBytes);
  if (record.visit !== manifest.visit) return { id: "report-verify-other-record" };
  const seal = await checkRecord(record);
  if (seal.problem === "withheld") {
    return { id: "report-verify-withheld", args: { kind: quoted(seal.forbidden) } };
  }
  if (seal.problem !== null) return { id: `report-verify-${seal.problem}` };
  return { manifest, record, seal };
}

type Judged = Pick<Check, "verdict" | "sentences" | "known">;

/** Who signed, and what that makes of a file that nobody changed. */
function judgedSigners(signatures: Signature[], manifest: Manifest, trust: Trust): Judged {
  const [issuer, ...others] = signatures;
  if (issuer === undefined) throw new Error("no signature");
  const now = Date.now();
  const { certificate } = issuer;
  const listed = trust.signers.find(({ fingerprint }) => fingerprint === certificate.fingerprint);
  const isTyped =
    trust.typed.length >= LEAST_DIGITS && certificate.fingerprint.startsWith(trust.typed);
  const known = listed ?? (isTyped ? "typed" : null);
  const problems = [...timeProblems(issuer, now), ...claimProblems(issuer, manifest)];
  const beside: Sentence[] = [];
  let isDoubtful = false;
  if (known === null) {
    const against = nameProblems(issuer, trust);
    problems.push(...against.problems);
    beside.push(...against.cautions);
  } else if (listed !== undefined) {
    const standing = standingOf(issuer, listed);
    problems.push(...standing.problems);
    beside.push(...standing.cautions);
    ({ isDoubtful } = standing);
  }
  for (const other of others) {
    const { fingerprint } = other.certificate;
    const signer = trust.signers.find((one) => one.fingerprint === fingerprint);
    problems.push(...timeProblems(other, now));
    beside.push(counterSigner(other, signer?.name ?? null));
    if (signer !== undefined) continue;
    const against = nameProblems(other, trust);
    problems.push(...against.problems);
    beside.push(...against.cautions);
  }
  if (problems.length > 0) {
    const seen = new Map(problems.map((one) => [JSON.stringify(one), one]));
    return { verdict: "changed", known, sentences: [...seen.values(), ...beside] };
  }
  if (known === null) {
    return { verdict: "unknown", known, sentences: [...claimed(certificate), ...beside] };
  }
  if (isDoubtful) return { verdict: "unknown", known, sentences: beside };
  const name = quoted(listed?.name ?? certificate.name);
  const first: Sentence =
    listed === undefined
      ? { id: "check-genuine-typed" }
      : { id: "check-genuine-shop", args: { name } };
  return { verdict: "genuine", known, sentences: [first, ...beside] };
}

/** What the file says of itself, and its own signature knows otherwise. */
function claimProblems({ made: signed }: Signature, manifest: Manifest): Sentence[] {
  const said: Sentence[] = [];
  if (!manifest.report || !manifest.visit) said.push({ id: "report-verify-no-number" });
  const made = Date.parse(manifest.made);
  if (Number.isNaN(made)) said.push({ id: "report-verify-no-time" });
  else if (signed !== null && Math.abs(signed - made) > SIGNING_MS) {
    said.push({ id: "report-verify-made-another-day" });
  }
  return said;
}

function claimed({ name }: Certificate): Sentence[] {
  return name === "" ? [] : [{ id: "check-unknown-claims", args: { name: quoted(name) } }];
}

function counterSigner({ certificate }: Signature, known: string | null): Sentence {
  const digits = grouped(certificate.fingerprint);
  return known === null
    ? { id: "report-verify-also-unknown", args: { name: quoted(certificate.name), digits } }
    : { id: "report-verify-also-known", args: { name: quoted(known), digits } };
}
