/**
 * What stands in a file that no report has: layers, actions, notes over a page, more attachments
 * (server/bradawl/report/checking/inventory.py says the same).
 */

import type { PdfDocument } from "../pdf/file";
import { type Dictionary, isSame, Name, Reference, type Value } from "../pdf/values";

export type Foreign =
  | "report-verify-layers"
  | "report-verify-actions"
  | "report-verify-more"
  | "report-verify-fields"
  | "report-verify-notes"
  | "report-verify-attached-more";

/** Entries of the catalog that act, or replace what the pages show (ISO 32000-1, table 28). */
const ACTING = ["OpenAction", "AA", "Collection", "Requirements"];
/** What a report's catalog has, and what of its names leads within it. */
const CATALOG = new Set([
  ...["AF", "AcroForm", "Extensions", "Lang", "MarkInfo", "Metadata", "Names", "Outlines"],
  ...["OutputIntents", "PageLabels", "PageMode", "Pages", "Perms", "StructTreeRoot", "Type"],
  ...["Version", "ViewerPreferences"],
]);
const NAMES = new Set(["EmbeddedFiles", "Dests"]);
const PAGE_ACTING = ["AA", "PresSteps", "SeparationInfo", "B"];
/** What a signature's field has. */
const FIELD_KEYS = new Set([
  "AP",
  "Contents",
  "F",
  "FT",
  "Ff",
  "Lock",
  "P",
  "Rect",
  "SV",
  "StructParent",
  "Subtype",
  "T",
  "TU",
  "Type",
  "V",
]);
/** What a link of a report may do: go to a page, open an address. */
const LINKS = ["GoTo", "URI"];

/** Throws PdfError for what cannot be read. */
export function foreignIn(issued: PdfDocument): Foreign[] {
  const found = new Set<Foreign>();
  const { root } = issued;
  if (root.has("OCProperties")) found.add("report-verify-layers");
  if (ACTING.some((key) => root.has(key))) found.add("report-verify-actions");
  const names = issued.resolved(root.get("Names"));
  const listed = names instanceof Map ? names : new Map<string, Value>();
  if (listed.has("JavaScript") || listed.has("AlternatePresentations")) {
    found.add("report-verify-actions");
  }
  const isKnown = (key: string) =>
    CATALOG.has(key) || key === "OCProperties" || ACTING.includes(key);
  if (![...root.keys()].every(isKnown) || ![...listed.keys()].every((key) => NAMES.has(key))) {
    found.add("report-verify-more");
  }
  if (!isListedAlike(issued, listed)) found.add("report-verify-attached-more");
  const fields = fieldNumbers(issued);
  for (const number of fields) {
    if (!isPlaceless(issued, issued.dictionary(new Reference(number, 0)))) {
      found.add("report-verify-fields");
    }
  }
  for (const page of issued.pages()) {
    if (PAGE_ACTING.some((key) => page.has(key))) found.add("report-verify-actions");
    for (const entry of listOf(issued, page.get("Annots"))) {
      if (entry instanceof Reference && fields.has(entry.number)) continue;
      const foreign = ofAnnotation(issued, issued.dictionary(entry));
      if (foreign !== null) found.add(foreign);
    }
  }
  return [...found];
}

/** Whether the list of names has the attachments that the catalog has, and no other. */
function isListedAlike(issued: PdfDocument, names: Dictionary): boolean {
  const tree = issued.resolved(names.get("EmbeddedFiles"));
  if (!(tree instanceof Map)) return listOf(issued, issued.root.get("AF")).length === 0;
  const values = listOf(issued, tree.get("Names")).filter((_, at) => at % 2 === 1);
  return !tree.has("Kids") && isSame(values, listOf(issued, issued.root.get("AF")));
}

function ofAnnotation(issued: PdfDocument, annotation: Dictionary): Foreign | null {
  if (nameOf(annotation.get("Subtype")) !== "Link" || annotation.has("AP") || annotation.has("AA"))
    return "report-verify-notes";
  const action = issued.resolved(annotation.get("A"));
  if (action === null) return null;
  const isPlain =
    action instanceof Map && LINKS.includes(nameOf(action.get("S"))) && !action.has("Next");
  return isPlain ? null : "report-verify-actions";
}

/** Whether a signature's field has no place, so that nothing of it is drawn, and does nothing. */
function isPlaceless(issued: PdfDocument, field: Dictionary): boolean {
  const place = listOf(issued, field.get("Rect"));
  const has_none = place.length === 4 && place.every((edge) => edge === 0);
  return has_none && [...field.keys()].every((key) => FIELD_KEYS.has(key));
}

function fieldNumbers(issued: PdfDocument): Set<number> {
  const form = issued.resolved(issued.root.get("AcroForm"));
  const fields = form instanceof Map ? listOf(issued, form.get("Fields")) : [];
  return new Set(fields.flatMap((one) => (one instanceof Reference ? [one.number] : [])));
}

function listOf(issued: PdfDocument, value: Value | undefined): Value[] {
  const found = issued.resolved(value);
  return Array.isArray(found) ? found : [];
}

function nameOf(value: Value | undefined): string {
  return value instanceof Name ? value.name : "";
}
