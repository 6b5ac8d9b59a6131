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
import { hidesCharacters, likeness, quoted } from "./names";
import { MANIFEST, type Parts, partsOf, RECORD } from "./parts";
import { type AttachedRecord, checkRecord, type RecordCheck, recordOf } from "./record";

export type Verdict = "genuine" | "unknown" | "changed";

/** A message of the catalogue, unsaid; dates are milliseconds under a name that begins with `day`. */
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
  "something-else": "report-verify-something-else",
};

function changed(id: Sentence["id"], also: Partial<Check> = {}): Check {
  return { ...NOTHING, ...also, verdict: "changed", sentences: [{ id }] };
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
    return changed(
      problem instanceof PdfError ? "report-verify-damaged" : "report-verify-confused",
    );
  }
  const [issuer] = found.signatures;
  if (issuer === undefined || found.issued === null) return changed("report-verify-unsigned");
  const signed = { signatures: found.signatures, issued: found.issued };
  if (found.changes.length > 0) {
    const sentences = found.changes.map((change) => ({ id: CHANGES[change] }));
    return { ...NOTHING, ...signed, verdict: "changed", sentences };
  }
  let contents: Pick<Check, "manifest" | "record" | "seal">;
  try {
    const read = await contentsOf(await partsOf(found.issued));
    if ("id" in read) return { ...NOTHING, ...signed, verdict: "changed", sentences: [read] };
    contents = read;
  } catch {
    // whatever a stranger's file makes fail in here: it is not as this product writes it
    return changed("report-verify-confused", signed);
  }
  return { ...signed, ...contents, ...judgedSigners(found.signatures, trust) };
}

/** What the issuer signed, held against one another; else the id of what is wrong with it. */
async function contentsOf({
  files,
  pages,
}: Parts): Promise<Pick<Check, "manifest" | "record" | "seal"> | Sentence> {
  const [recordBytes, manifestBytes] = [files.get(RECORD), files.get(MANIFEST)];
  if (recordBytes === undefined || manifestBytes === undefined) {
    return { id: "report-verify-no-record" };
  }
  const manifest = JSON.parse(new TextDecoder().decode(manifestBytes)) as Manifest;
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
function judgedSigners([issuer, ...others]: Signature[], trust: Trust): Judged {
  if (issuer === undefined) throw new Error("no signature");
  const { certificate } = issuer;
  const further = others.flatMap((other) => counterSigner(other, trust));
  const borrowed = others.some(
    ({ certificate }) =>
      lookalike(certificate, trust) !== null || hidesCharacters(certificate.name),
  );
  const isTyped =
    trust.typed.length >= LEAST_DIGITS && certificate.fingerprint.startsWith(trust.typed);
  const listed = trust.signers.find(({ fingerprint }) => fingerprint === certificate.fingerprint);
  if (listed === undefined && !isTyped) {
    const alike = lookalike(certificate, trust);
    if (alike !== null) return { verdict: "changed", known: null, sentences: [alike, ...further] };
    return { verdict: "unknown", known: null, sentences: [...unknown(certificate), ...further] };
  }
  const name = quoted(listed?.name ?? certificate.name);
  const first: Sentence =
    listed === undefined
      ? { id: "check-genuine-typed" }
      : { id: "check-genuine-shop", args: { name } };
  const known = listed ?? "typed";
  const against = limits(issuer, listed ?? null);
  if (borrowed) return { verdict: "changed", known, sentences: further };
  if (against.some(({ counts }) => counts)) {
    const said = against.map(({ sentence }) => sentence);
    return { verdict: "unknown", known, sentences: [...said, ...further] };
  }
  const beside = against.map(({ sentence }) => sentence);
  return { verdict: "genuine", known, sentences: [first, ...beside, ...further] };
}

function unknown({ name }: Certificate): Sentence[] {
  const claimed = name === "" ? null : quoted(name);
  const hidden: Sentence[] = hidesCharacters(name) ? [{ id: "check-hidden-letters" }] : [];
  if (claimed === null) return hidden;
  return [{ id: "check-unknown-claims", args: { name: claimed } }, ...hidden];
}

/** Whom this page knows with another key and a name that could be taken for this one. */
function lookalike(certificate: Certificate, { signers, confusables }: Trust): Sentence | null {
  if (signers.some(({ fingerprint }) => fingerprint === certificate.fingerprint)) return null;
  for (const exact of [true, false]) {
    for (const { name } of signers) {
      const isSame = certificate.name === name;
      if (exact ? !isSame : likeness(certificate.name, name, confusables) === "") continue;
      const args = { name: quoted(certificate.name), known: quoted(name) };
      return exact
        ? { id: "check-lookalike-same", args: { name: args.name } }
        : { id: "check-lookalike", args };
    }
  }
  return null;
}

/** What a key's own time says: `counts` where it takes the verdict away. */
function limits(
  { made, certificate }: Signature,
  listed: KnownSigner | null,
): { sentence: Sentence; counts: boolean }[] {
  const said: { sentence: Sentence; counts: boolean }[] = [];
  if (made === null) said.push({ sentence: { id: "check-no-time" }, counts: true });
  else if (made < certificate.begins || made > certificate.ends) {
    const args = { dayBegins: certificate.begins, dayEnds: certificate.ends };
    said.push({ sentence: { id: "check-outside-time", args: renamed(args) }, counts: true });
  }
  if (listed?.standing === "lost") {
    const args = { name: quoted(listed.name), date: listed.until };
    said.push({ sentence: { id: "check-lost", args }, counts: true });
  }
  if (listed?.standing === "replaced") {
    const args = { name: quoted(listed.name), date: listed.until };
    const isAfter = made !== null && listed.until !== "" && made > endOf(listed.until);
    const id = isAfter ? "check-retired-after" : "check-retired";
    said.push({ sentence: { id, args }, counts: isAfter });
  }
  return said;
}

function renamed({ dayBegins, dayEnds }: { dayBegins: number; dayEnds: number }) {
  const day = (ms: number) => new Date(ms).toISOString().slice(0, 10);
  return { begins: day(dayBegins), ends: day(dayEnds) };
}

/** The end of a day, anywhere. */
function endOf(day: string): number {
  return Date.parse(`${day}T23:59:59-12:00`);
}

function counterSigner(other: Signature, trust: Trust): Sentence[] {
  const { name, fingerprint } = other.certificate;
  const listed = trust.signers.find((signer) => signer.fingerprint === fingerprint);
  const alike = lookalike(other.certificate, trust);
  if (alike !== null) return [alike];
  if (listed !== undefined)
    return [{ id: "check-also-known", args: { name: quoted(listed.name) } }];
  return [{ id: "check-also-unknown", args: { name: quoted(name) } }];
}
