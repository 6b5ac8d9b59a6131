/**
 * The attached record held against the seal that it carries (server/bradawl/report/signing/record_proof.py).
 *
 * The seal names the digest of all its leaves and is signed by the phone that took the record; each
 * entry that is shown comes with what its leaf is made of. Nothing of the workshop's is needed.
 */

import { inspection, type Json } from "../../shared/event";
import { base64url, digest, fromBase64url, sha256OfText, utf8 } from "../../store/encoding";
import { deviceOf, sealText, verifies } from "../../store/keys";
import { textOf } from "../../store/log/values";
import { entryKind, formerKind, isWithheldKind } from "./entry-kind";
import { parsedOnce } from "./json";

const SALT_BYTES = 16;

/** An entry that is shown: path, stamp, salt, and its value as the text that was recorded. */
export type Shown = [path: string, stamp: string, salt: string, text: string];

export interface Seal {
  device: string;
  value: { [key: string]: Json };
}

/** Format 3 of the attached record (server/bradawl/report/model/attached_record.py). */
export interface AttachedRecord {
  format: number;
  visit: string;
  shown: Shown[];
  /** Of what is left out: its kind, and a hash of the rest. */
  withheld: [kind: string, hidden: string][];
  /** What the shop set aside or erased: path, stamp and commitment, without the value. */
  set_aside: [path: string, stamp: string, commit: string][];
  left_out: Record<string, number>;
  seals: Seal[];
  amendments: { put: string; at: string; device: string; value: Json }[];
  bundle: string;
  titles: Record<string, string>;
  /** The day on which the car was bought, whose price the report tells; "" for none. */
  bought?: string;
  assessment: { [key: string]: Json };
}

export type RecordProblem = "withheld" | "seal-key" | "seal-record";

export interface RecordCheck {
  problem: RecordProblem | null;
  /** A kind of entry that no report may leave out; "" where this one leaves out none such. */
  forbidden: string;
  /** The last seal and its digest, which a receipt from the signing shows; null without a seal. */
  seal: Seal | null;
  sealDigest: string;
}

/** The record behind an attached file. Throws for one of another shape. */
export function recordOf(bytes: Uint8Array): AttachedRecord {
  const record = parsedOnce(bytes) as unknown as AttachedRecord | null;
  const isRecord =
    record?.format === 3 &&
    typeof record.visit === "string" &&
    isRows(record.shown, 4) &&
    isRows(record.withheld, 2) &&
    isRows(record.set_aside, 3) &&
    Array.isArray(record.seals) &&
    Array.isArray(record.amendments);
  if (!isRecord) throw new TypeError("record");
  return record;
}

/** Whether it is a list of rows of so many texts each. */
function isRows(value: unknown, length: number): boolean {
  const isRow = (row: unknown) =>
    Array.isArray(row) && row.length === length && row.every((one) => typeof one === "string");
  return Array.isArray(value) && value.every(isRow);
}

/** The digest of a seal that its phone signs, and shows as a code at the signing. */
export function digestOfSeal({ value }: Seal): Promise<string> {
  const { signature: _, ...unsigned } = value;
  return sha256OfText(textOf(unsigned));
}

export async function checkRecord(record: AttachedRecord): Promise<RecordCheck> {
  const forbidden = record.withheld.find(([kind]) => !isWithheldKind(kind))?.[0] ?? "";
  const seal = record.seals.at(-1) ?? null;
  const sealDigest = seal === null ? "" : await digestOfSeal(seal);
  const check = { forbidden, seal, sealDigest };
  if (forbidden !== "") return { ...check, problem: "withheld" };
  if (seal === null) return { ...check, problem: null };
  if (!(await isSigned(record.visit, seal, sealDigest))) return { ...check, problem: "seal-key" };
  // an older seal has some entries under the kind that they had then
  for (const kindOf of [entryKind, formerKind]) {
    const leaves = await leavesOf(record, kindOf);
    if ((await sha256OfText(textOf(leaves))) === seal.value.leaves) {
      return { ...check, problem: null };
    }
  }
  return { ...check, problem: "seal-record" };
}

/** The sorted leaves of all that a record shows, sets aside and withholds. */
async function leavesOf(
  { shown, set_aside, withheld }: AttachedRecord,
  kindOf: (path: string) => string,
): Promise<string[]> {
  const named = async ([path, stamp, commit]: [string, string, string]) =>
    leafOf(kindOf(path), await hashed(textOf([path, stamp, commit])));
  const leaves = await Promise.all([
    ...shown.map(async ([path, stamp, salt, text]) =>
      named([path, stamp, await commitment(salt, text)]),
    ),
    ...set_aside.map(named),
    ...withheld.map(([kind, hidden]) => leafOf(kind, hidden)),
  ]);
  return leaves.sort();
}

function leafOf(kind: string, hidden: string): Promise<string> {
  return hashed(textOf([kind, hidden]));
}

/** base64url(SHA-256(salt ‖ text)). Throws for a salt that is none. */
export async function commitment(salt: string, text: string): Promise<string> {
  const before = fromBase64url(salt, SALT_BYTES);
  if (before === null) throw new TypeError("salt");
  const after = utf8(text);
  const both = new Uint8Array(before.length + after.length);
  both.set(before);
  both.set(after, before.length);
  return base64url(await digest(both));
}

async function hashed(text: string): Promise<string> {
  return base64url(await digest(utf8(text)));
}

async function isSigned(visit: string, seal: Seal, sealDigest: string): Promise<boolean> {
  const { key, signature } = seal.value;
  if (typeof key !== "string" || typeof signature !== "string") return false;
  if ((await deviceOf(key)) !== seal.device) return false;
  return verifies(key, sealText(seal.device, inspection(visit), sealDigest), signature);
}
