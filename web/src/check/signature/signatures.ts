/**
 * The signatures of a PDF, and what was done between them.
 *
 * Each signature closes one increment and covers the file up to there but for its own digits. The
 * issuer's closes the second revision; a later one may fill one empty signature field that stood
 * there when the issuer signed, and nothing else.
 */

import { hex } from "../../store/encoding";
import { PdfDocument, type Revision, revisionsOf } from "../pdf/file";
import {
  type Dictionary,
  demand,
  isSame,
  latin,
  Name,
  PdfString,
  Reference,
  referred,
  Stream,
  type Value,
} from "../pdf/values";
import { type Signed, signedBy } from "./cms";
import { statements } from "./metadata";

/** What is wrong with the file as a whole. */
export type Change = "added" | "not-intact" | "not-valid" | "own-words" | "something-else";

export interface Signature extends Signed {
  /** When its writer's clock says it was made, milliseconds since 1970; null where it does not. */
  made: number | null;
  /** The name that stands beside the certificate; "" without one. */
  claimed: string;
}

/** What stands signed in a file, the issuer's first. */
export interface SignedFile {
  signatures: Signature[];
  changes: Change[];
  /** The document as the issuer signed it. */
  issued: PdfDocument | null;
}

interface Found {
  dictionary: Dictionary;
  field: Dictionary;
  contents: PdfString;
  type: string;
  /** Its digits are written small. */
  isSmall: boolean;
  /** The first byte after what it covers. */
  end: number;
}

/** The issuer's is the first; programs of others may sign in the older way too. */
const SIGNATURE_TYPES = ["ETSI.CAdES.detached", "adbe.pkcs7.detached"];

/** Throws PdfError for a file that this product cannot have written. */
export async function signedFile(file: Uint8Array<ArrayBuffer>): Promise<SignedFile> {
  const revisions = revisionsOf(file);
  const states = revisions.map((_, i) => new PdfDocument(file, revisions.slice(0, i + 1)));
  const last = states.at(-1) as PdfDocument;
  const found = filledFields(last)
    .map((field) => foundIn(file, last, field))
    .sort((one, other) => one.end - other.end);
  if (found.length === 0) return { signatures: [], changes: [], issued: null };
  const changes = new Set<Change>();
  if (found.at(-1)?.end !== file.length) changes.add("added");
  if (revisions.length !== found.length + 1) changes.add("something-else");
  const signatures: Signature[] = [];
  for (const [i, signature] of found.entries()) {
    const { contents, end, type, isSmall } = signature;
    demand(i > 0 || type === SIGNATURE_TYPES[0], "method");
    demand(i > 0 || !isSmall, "hex");
    const covered = new Uint8Array(contents.begin + end - contents.end);
    covered.set(file.subarray(0, contents.begin));
    covered.set(file.subarray(contents.end, end), contents.begin);
    const signed = await signedBy(contents.bytes as Uint8Array<ArrayBuffer>, covered);
    if (!signed.isIntact) changes.add("not-intact");
    if (!signed.isValid) changes.add("not-valid");
    if (!closes(signature, revisions, i + 1)) changes.add("something-else");
    else if (i > 0 && !isOnlySigned(file, states, revisions, i + 1, signature)) {
      changes.add("something-else");
    }
    if (i > 0 && !isPlain(last, signature)) changes.add("own-words");
    const written = last.resolved(signature.dictionary.get("Name"));
    const claimed = written instanceof PdfString ? wide(written) : "";
    // what is signed goes before what stands beside it
    const made = signed.signedAt ?? madeAt(last.resolved(signature.dictionary.get("M")));
    signatures.push({ ...signed, made, claimed });
  }
  return { signatures, changes: [...changes], issued: states[1] ?? null };
}

/** What a signature's dictionary may say of itself; a later one has no words of its own. */
const SAID = [
  "Type",
  "Filter",
  "SubFilter",
  "Contents",
  "ByteRange",
  "M",
  "Name",
  "Reason",
  "Location",
  "ContactInfo",
  "Prop_Build",
  "Prop_AuthTime",
  "Prop_AuthType",
];

/** Whether a later signature says nothing but whose it is, and a reason that the field offers. */
function isPlain(document: PdfDocument, { dictionary, field }: Found): boolean {
  const seed = document.resolved(field.get("SV"));
  const offered = seed instanceof Map ? document.array(seed.get("Reasons")) : [];
  const texts = offered.map((one) => (one instanceof PdfString ? wide(one) : ""));
  const isNothing = (key: string) => {
    const said = dictionary.get(key);
    return said === undefined || (said instanceof PdfString && said.bytes.length === 0);
  };
  const reason = dictionary.get("Reason");
  const isOffered = reason instanceof PdfString && texts.includes(wide(reason));
  return (
    (isNothing("Reason") || isOffered) &&
    isNothing("Location") &&
    isNothing("ContactInfo") &&
    [...dictionary.keys()].every((key) => SAID.includes(key))
  );
}

function wide({ bytes }: PdfString): string {
  const marks: [string, number[]][] = [
    ["utf-16be", [0xfe, 0xff]],
    ["utf-8", [0xef, 0xbb, 0xbf]],
    ["latin1", []],
  ];
  const [coding, mark] = marks.find(([, digits]) =>
    digits.every((one, at) => bytes[at] === one),
  ) ?? ["latin1", []];
  return new TextDecoder(coding).decode(bytes.subarray(mark.length));
}

interface Field {
  reference: Reference;
  dictionary: Dictionary;
}

/** Every signature field of the form. Throws PdfError for a form with anything else. */
function fieldsOf(document: PdfDocument): Field[] {
  const form = document.resolved(document.root.get("AcroForm"));
  if (form === null) return [];
  demand(form instanceof Map, "form");
  demand(!form.has("XFA"), "form");
  return document.array(form.get("Fields")).map((reference) => {
    demand(reference instanceof Reference, "field");
    const dictionary = document.dictionary(reference);
    const type = dictionary.get("FT");
    demand(type instanceof Name && type.name === "Sig" && !dictionary.has("Kids"), "field");
    return { reference, dictionary };
  });
}

function filledFields(document: PdfDocument): Field[] {
  return fieldsOf(document).filter(({ dictionary }) => dictionary.has("V"));
}

/** A field's signature: it covers all but its own digits, from the first byte on. */
function foundIn(file: Uint8Array, document: PdfDocument, { dictionary }: Field): Found {
  const signature = document.dictionary(dictionary.get("V"));
  const contents = signature.get("Contents");
  const type = signature.get("SubFilter");
  const range = signature.get("ByteRange");
  demand(contents instanceof PdfString && contents.isHex, "contents");
  demand(type instanceof Name && SIGNATURE_TYPES.includes(type.name), "method");
  demand(Array.isArray(range) && range.length === 4, "range");
  const [from, length, resumes, rest] = range;
  demand(from === 0 && length === contents.begin && resumes === contents.end, "range");
  demand(typeof rest === "number" && Number.isInteger(rest) && rest > 0, "range");
  const end = contents.end + rest;
  demand(end <= file.length, "range");
  const written = latin(file.subarray(contents.begin + 1, contents.end - 1));
  const digits = hex(contents.bytes);
  const isSmall = written === digits;
  demand(isSmall || written === digits.toUpperCase(), "hex");
  return { dictionary: signature, field: dictionary, type: type.name, isSmall, contents, end };
}

/** Whether a signature lies in a revision and covers all of it, and nothing of the next. */
function closes({ contents, end }: Found, revisions: Revision[], index: number): boolean {
  const revision = revisions[index];
  const before = revisions[index - 1];
  if (revision === undefined || before === undefined) return false;
  return (
    contents.begin >= before.end &&
    contents.end <= revision.table_at &&
    // the end mark, and the line's end after it
    end >= revision.end &&
    end <= revision.end + 2
  );
}

/** Whether a revision filled one empty signature field, this signature's, and did nothing else. */
function isOnlySigned(
  file: Uint8Array,
  states: PdfDocument[],
  revisions: Revision[],
  index: number,
  signature: Found,
): boolean {
  const [before, after] = [states[index - 1], states[index]];
  const revision = revisions[index];
  if (before === undefined || after === undefined || revision === undefined) return false;
  const fields = new Map(fieldsOf(before).map((field) => [field.reference.number, field]));
  const filled = filledFields(after).filter(
    ({ reference }) => fields.get(reference.number)?.dictionary.has("V") === false,
  );
  const [own] = filled;
  if (filled.length !== 1 || own === undefined) return false;
  if (!isOwnValue(after, own, signature)) return false;
  for (const key of ["Root", "Info"]) {
    if (!isSame(before.trailer.get(key), after.trailer.get(key))) return false;
  }
  const form = after.root.get("AcroForm");
  const numbers = [...revision.objects.keys()].filter((number) => number !== 0);
  const fresh = numbers.filter((number) => !before.has(number));
  if (isAwaited(before, fresh) || !isReached(after, own, fresh)) return false;
  if (!isFilled(file, after, revisions, index)) return false;
  return numbers
    .filter((number) => before.has(number))
    .every((number) => {
      if (!after.has(number)) return false;
      const [was, is] = [before.object(number), after.object(number)];
      if (number === own.reference.number) return isSameBut(was, is, ["V"]);
      if (form instanceof Reference && number === form.number) {
        return isSameBut(was, is, ["SigFlags"]);
      }
      const stands = (key: "Root" | "Info") => isSame(before.trailer.get(key), reference(number));
      if (stands("Root")) return isSameBut(was, is, ["Version", "Extensions"]);
      if (stands("Info")) return isSameBut(was, is, ["ModDate", "Producer"]);
      if (isSame(before.root.get("Metadata"), reference(number))) {
        return isSameMetadata(before, was, after, is);
      }
      return !(was instanceof Stream) && isSame(was, is);
    });
}

const reference = (number: number) => new Reference(number, 0);

/** Whether metadata that a program wrote anew say the same of the report as before. */
function isSameMetadata(before: PdfDocument, was: Value, after: PdfDocument, is: Value): boolean {
  if (!(was instanceof Stream && is instanceof Stream)) return false;
  if (was.dictionary.has("Filter") || is.dictionary.has("Filter")) return false;
  const said = statements(before.encoded(was));
  return said !== null && said === statements(after.encoded(is));
}

/** Whether all that is new hangs on the field that was signed. */
function isReached(after: PdfDocument, own: Field, fresh: number[]): boolean {
  const reached = new Set<number>();
  const waiting = [...referred(own.dictionary.get("V")), ...referred(own.dictionary.get("AP"))];
  for (let number = waiting.pop(); number !== undefined; number = waiting.pop()) {
    if (reached.has(number)) continue;
    reached.add(number);
    if (fresh.includes(number)) waiting.push(...referred(after.object(number)));
  }
  return fresh.every((number) => reached.has(number));
}

/** Whether an increment is its objects, one after another, and nothing between them. */
function isFilled(
  file: Uint8Array,
  after: PdfDocument,
  revisions: Revision[],
  index: number,
): boolean {
  const revision = revisions[index];
  const last = revisions[index - 1];
  if (revision === undefined || last === undefined) return false;
  const isBlank = (from: number, to: number) => /^\s*$/.test(latin(file.subarray(from, to)));
  let at = last.end;
  const places = [...revision.objects].filter(([, place]) => place >= 0);
  for (const [number, place] of places.sort(([, one], [, other]) => one - other)) {
    if (place < at || !isBlank(at, place)) return false;
    at = after.endOf(number);
  }
  return isBlank(at, revision.table_at);
}

function isOwnValue(after: PdfDocument, field: Field, { contents }: Found): boolean {
  const value = after.dictionary(field.dictionary.get("V")).get("Contents");
  return value instanceof PdfString && value.begin === contents.begin;
}

function isSameBut(was: Value, is: Value, keys: string[]): boolean {
  if (!(was instanceof Map && is instanceof Map)) return false;
  const without = (value: Dictionary) => new Map([...value].filter(([key]) => !keys.includes(key)));
  return isSame(without(was), without(is));
}

/** Whether something that stood there already refers to one of these objects that were not there. */
function isAwaited(before: PdfDocument, fresh: number[]): boolean {
  const wanted = new Set(fresh);
  return before
    .numbers()
    .some((number) => [...referred(before.object(number))].some((one) => wanted.has(one)));
}

/** A date as PDF writes it (ISO 32000-1, 7.9.4), in milliseconds since 1970. */
function madeAt(value: Value): number | null {
  if (!(value instanceof PdfString)) return null;
  const parts = /^D:(\d{4})(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)(?:Z|([+-])(\d\d)'(\d\d)'?)?$/.exec(
    latin(value.bytes),
  );
  if (parts === null) return null;
  const [year = 0, month = 1, ...rest] = parts.slice(1, 7).map(Number);
  const shift = (Number(parts[8] ?? 0) * 60 + Number(parts[9] ?? 0)) * 60_000;
  const sign = parts[7] === "-" ? -1 : 1;
  return Date.UTC(year, month - 1, ...rest) - sign * shift;
}
