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

const SALT_BYTES = 16;

/** An entry that is shown: path, stamp, salt, and its value as the text that was recorded. */
export type Shown = [path: string, stamp: string, salt: string, text: string];

export interface Seal {
  device: string;
  value: { [key: string]: Json };
}

/** Format 2 of the attached record (server/bradawl/report/model/attached_record.py). */
export interface AttachedRecord {
  format: number;
  visit: string;
  leaves: string[];
  shown: Shown[];
  left_out: Record<string, number>;
  seals: Seal[];
  amendments: { put: string; at: string; device: string; value: Json }[];
  bundle: string;
  titles: Record<string, string>;
  assessment: { [key: string]: Json };
}

export type RecordProblem = "outside" | "seal-key" | "seal-record";

export interface RecordCheck {
  problem: RecordProblem | null;
  /** Entries that no leaf stands for, where there are any. */
  outside: string[];
  /** The last seal and its digest, which a receipt from the signing shows; null without a seal. */
  seal: Seal | null;
  sealDigest: string;
}

/** The record behind an attached file. Throws for one of another shape. */
export function recordOf(bytes: Uint8Array): AttachedRecord {
  const record = JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes));
  const isRecord =
    record?.format === 2 &&
    typeof record.visit === "string" &&
    isTexts(record.leaves) &&
    Array.isArray(record.shown) &&
    record.shown.every((entry: unknown) => isTexts(entry) && entry.length === 4) &&
    Array.isArray(record.seals) &&
    Array.isArray(record.amendments);
  if (!isRecord) throw new TypeError("record");
  return record as AttachedRecord;
}

function isTexts(value: unknown): value is string[] {
  return Array.isArray(value) && value.every((one) => typeof one === "string");
}

/** The digest of a seal that its phone signs, and shows as a code at the signing. */
export function digestOfSeal({ value }: Seal): Promise<string> {
  const { signature: _, ...unsigned } = value;
  return sha256OfText(textOf(unsigned));
}

export async function checkRecord(record: AttachedRecord): Promise<RecordCheck> {
  const leaves = new Set(record.leaves);
  const made = await Promise.all(record.shown.map(leafOf));
  const outside = record.shown.flatMap(([path], i) => (leaves.has(made[i] ?? "") ? [] : [path]));
  const seal = record.seals.at(-1) ?? null;
  const sealDigest = seal === null ? "" : await digestOfSeal(seal);
  const check = { outside, seal, sealDigest };
  if (outside.length > 0) return { ...check, problem: "outside" };
  if (seal === null) return { ...check, problem: null };
  if (!(await isSigned(record.visit, seal, sealDigest))) return { ...check, problem: "seal-key" };
  if ((await sha256OfText(textOf(record.leaves))) !== seal.value.leaves) {
    return { ...check, problem: "seal-record" };
  }
  return { ...check, problem: null };
}

/** base64url(SHA-256) of path, stamp and commitment; "" where the salt is none. */
async function leafOf([path, stamp, salt, text]: Shown): Promise<string> {
  const before = fromBase64url(salt, SALT_BYTES);
  if (before === null) return "";
  const after = utf8(text);
  const both = new Uint8Array(before.length + after.length);
  both.set(before);
  both.set(after, before.length);
  const commit = base64url(await digest(both));
  return base64url(await digest(utf8(textOf([path, stamp, commit]))));
}

async function isSigned(visit: string, seal: Seal, sealDigest: string): Promise<boolean> {
  const { key, signature } = seal.value;
  if (typeof key !== "string" || typeof signature !== "string") return false;
  if ((await deviceOf(key)) !== seal.device) return false;
  return verifies(key, sealText(seal.device, inspection(visit), sealDigest), signature);
}
