/**
 * A PDF file as its revisions: each an increment with a classic cross-reference table (ISO 32000-1,
 * 7.5.4 to 7.5.6). Streams of cross-references or objects, encryption and everything else that this
 * product does not write are refused.
 */

import {
  type Dictionary,
  demand,
  latin,
  Name,
  PdfError,
  Reference,
  Stream,
  type Value,
  ValueReader,
} from "./values";

/** One increment: where each of its objects lies (-1: none any more), and its trailer. */
export interface Revision {
  /** Where its cross-reference table begins, and the first byte after its end mark. */
  table_at: number;
  end: number;
  objects: Map<number, number>;
  trailer: Dictionary;
}

const MOST_REVISIONS = 8;
const ROW_BYTES = 20;
const ROW = /^(\d{10}) (\d{5}) ([nf])( \r| \n|\r\n)$/;
const LARGEST_STREAM = 64 * 1024 * 1024;
const DEEPEST_PAGES = 32;

/** All revisions, the oldest first. Throws PdfError for a file that this product did not write. */
export function revisionsOf(file: Uint8Array): Revision[] {
  demand(latin(file.subarray(0, 7)) === "%PDF-1.", "PDF");
  refuseLinearized(file);
  const tail = latin(file.subarray(Math.max(0, file.length - 64)));
  const end = /startxref\s+(\d{1,10})\s+%%EOF\s*$/.exec(tail);
  demand(end !== null, "end");
  const found: Revision[] = [];
  let at: number | undefined = Number(end[1]);
  let before = file.length;
  while (at !== undefined) {
    demand(found.length < MOST_REVISIONS && at < before, "chain-tables");
    const revision = revisionAt(file, at);
    demand(revision.end <= before, "chain-tables");
    found.push(revision);
    before = at;
    const previous: Value | undefined = revision.trailer.get("Prev");
    demand(previous === undefined || Number.isInteger(previous), "last-table");
    at = previous as number | undefined;
  }
  found.reverse();
  let most = 0;
  for (const { objects, trailer } of found) {
    for (const number of objects.keys()) most = Math.max(most, number);
    const size = trailer.get("Size");
    demand(typeof size === "number" && size > most, "size"); // readers pass over what is beyond it
  }
  return found;
}

/**
 * Readers take the first table of such a file from its begin (ISO 32000-1, annex F), and may show
 * what the tables at its end know nothing of.
 */
function refuseLinearized(file: Uint8Array): void {
  const reader = new ValueReader(file, 0);
  reader.skipSpace();
  for (const _ of ["number", "generation", "obj"]) {
    reader.word();
    reader.skipSpace();
  }
  const first = reader.value();
  demand(!(first instanceof Map && first.has("Linearized")), "linearized");
}

function revisionAt(file: Uint8Array, table_at: number): Revision {
  const reader = new ValueReader(file, table_at);
  demand(reader.word() === "xref", "table");
  const objects = new Map<number, number>();
  for (;;) {
    reader.skipSpace();
    if (latin(file.subarray(reader.at, reader.at + 7)) === "trailer") break;
    readSection(reader, objects);
  }
  reader.at += 7;
  const trailer = reader.value();
  demand(trailer instanceof Map, "trailer");
  demand(!trailer.has("XRefStm") && !trailer.has("Encrypt"), "another-kind-file");
  reader.skipSpace();
  demand(reader.word() === "startxref" && reader.whole() === table_at, "table-place");
  while (reader.at < file.length && file[reader.at] !== 0x25) {
    demand(/\s/.test(String.fromCharCode(file[reader.at] ?? 0)), "end-mark");
    reader.at++;
  }
  demand(latin(file.subarray(reader.at, reader.at + 5)) === "%%EOF", "end-mark");
  return { table_at, end: reader.at + 5, objects, trailer };
}

function readSection(reader: ValueReader, objects: Map<number, number>): void {
  const first = reader.whole();
  const count = reader.whole();
  reader.skipSpace();
  for (let number = first; number < first + count; number++) {
    const row = ROW.exec(latin(reader.bytes.subarray(reader.at, reader.at + ROW_BYTES)));
    demand(row !== null, "row-table");
    demand(!objects.has(number), "object-twice");
    demand(row[3] !== "n" || row[2] === "00000", "generation");
    objects.set(number, row[3] === "n" ? Number(row[1]) : -1);
    reader.at += ROW_BYTES;
  }
}

/** The document as it stood at the end of a revision. */
export class PdfDocument {
  private readonly places = new Map<number, number>();
  private readonly read = new Map<number, Value>();
  private readonly ends = new Map<number, number>();
  readonly root: Dictionary;
  readonly trailer: Dictionary;

  /** `revisions` are those up to the one that is meant, the oldest first. */
  constructor(
    private readonly file: Uint8Array,
    revisions: readonly Revision[],
  ) {
    for (const { objects } of revisions) {
      for (const [number, at] of objects) this.places.set(number, at);
    }
    const last = revisions.at(-1);
    demand(last !== undefined, "revision");
    this.trailer = last.trailer;
    this.root = this.dictionary(this.trailer.get("Root"));
  }

  has(number: number): boolean {
    return (this.places.get(number) ?? -1) >= 0;
  }

  /** The numbers of all objects. */
  numbers(): number[] {
    return [...this.places.keys()].filter((number) => this.has(number));
  }

  /** The object with a number; null where there is none. */
  object(number: number): Value {
    const known = this.read.get(number);
    if (known !== undefined) return known;
    const at = this.places.get(number) ?? -1;
    if (at < 0) return null;
    const reader = new ValueReader(this.file, at);
    demand(reader.whole() === number, "object-number");
    demand(reader.whole() === 0, "generation");
    reader.skipSpace();
    demand(reader.word() === "obj", "object");
    let value = reader.value();
    reader.skipSpace();
    if (value instanceof Map && latin(this.file.subarray(reader.at, reader.at + 6)) === "stream") {
      reader.at += 6;
      if (this.file[reader.at] === 13) reader.at++;
      demand(this.file[reader.at] === 10, "stream");
      value = new Stream(value, reader.at + 1);
    } else {
      demand(reader.word() === "endobj", "object-end");
      this.ends.set(number, reader.at);
    }
    this.read.set(number, value);
    return value;
  }

  /** The first byte after an object. Throws PdfError. */
  endOf(number: number): number {
    const value = this.object(number);
    if (!(value instanceof Stream)) return this.ends.get(number) ?? Number.POSITIVE_INFINITY;
    const reader = new ValueReader(this.file, value.begin + this.encoded(value).length);
    reader.skipSpace();
    demand(reader.word() === "endstream", "stream-end");
    reader.skipSpace();
    demand(reader.word() === "endobj", "object-end");
    return reader.at;
  }

  /** What a value is, references followed. */
  resolved(value: Value | undefined): Value {
    let found = value ?? null;
    for (let steps = 0; found instanceof Reference; steps++) {
      demand(steps < 8, "reference-leads-nowhere");
      found = this.object(found.number);
    }
    return found;
  }

  dictionary(value: Value | undefined): Dictionary {
    const found = this.resolved(value);
    demand(found instanceof Map, "dictionary");
    return found;
  }

  array(value: Value | undefined): Value[] {
    const found = this.resolved(value);
    demand(Array.isArray(found), "array");
    return found;
  }

  stream(value: Value | undefined): Stream {
    const found = this.resolved(value);
    demand(found instanceof Stream, "stream");
    return found;
  }

  /** A stream's bytes as they stand in the file. */
  encoded({ dictionary, begin }: Stream): Uint8Array<ArrayBuffer> {
    const length = this.resolved(dictionary.get("Length"));
    demand(typeof length === "number" && Number.isInteger(length) && length >= 0, "length");
    const end = begin + length;
    demand(end <= this.file.length, "stream-end");
    demand(/^\s*endstream/.test(latin(this.file.subarray(end, end + 12))), "stream-end");
    return this.file.slice(begin, end);
  }

  /** A stream's bytes, inflated. Throws PdfError for any other filter. */
  async decoded(stream: Stream): Promise<Uint8Array<ArrayBuffer>> {
    const named = this.resolved(stream.dictionary.get("Filter"));
    const filters = named === null ? [] : Array.isArray(named) ? named : [named];
    let bytes = this.encoded(stream);
    for (const filter of filters.map((one) => this.resolved(one))) {
      const name = filter instanceof Name ? filter.name : "";
      if (name === "ASCII85Decode") bytes = ascii85(bytes);
      else if (name === "FlateDecode") bytes = await inflated(bytes);
      else throw new PdfError("filter");
    }
    return bytes;
  }

  /** Every page's dictionary, in order. */
  pages(): Dictionary[] {
    const found: Dictionary[] = [];
    const walk = (node: Dictionary, depth: number): void => {
      demand(depth < DEEPEST_PAGES, "tree-pages");
      for (const kid of this.array(node.get("Kids"))) {
        const page = this.dictionary(kid);
        if (page.has("Kids")) walk(page, depth + 1);
        else found.push(page);
        demand(found.length < 10_000, "fewer-pages");
      }
    };
    walk(this.dictionary(this.root.get("Pages")), 0);
    return found;
  }
}

async function inflated(bytes: Uint8Array<ArrayBuffer>): Promise<Uint8Array<ArrayBuffer>> {
  const unpacked = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
  const pieces: Uint8Array<ArrayBuffer>[] = [];
  let length = 0;
  const reader = unpacked.getReader();
  try {
    for (;;) {
      const { done, value } = await reader.read();
      if (done) break;
      length += value.length;
      demand(length <= LARGEST_STREAM, "smaller-stream");
      pieces.push(value);
    }
  } catch (problem) {
    throw problem instanceof PdfError ? problem : new PdfError("packed-stream");
  }
  const all = new Uint8Array(length);
  let at = 0;
  for (const piece of pieces) {
    all.set(piece, at);
    at += piece.length;
  }
  return all;
}

/** Bytes behind ASCII base-85 (ISO 32000-1, 7.4.3). */
function ascii85(bytes: Uint8Array): Uint8Array<ArrayBuffer> {
  const letters = latin(bytes).replace(/\s+/g, "").replace(/~>$/, "");
  const out: number[] = [];
  let group: number[] = [];
  const flush = (count: number) => {
    const padded = [...group, ...Array<number>(5 - group.length).fill(84)];
    const word = padded.reduce((sum, digit) => sum * 85 + digit, 0);
    for (let i = 0; i < count; i++) out.push(Math.floor(word / 256 ** (3 - i)) & 0xff);
    group = [];
  };
  for (const letter of letters) {
    if (letter === "z" && group.length === 0) {
      out.push(0, 0, 0, 0);
      continue;
    }
    const digit = letter.charCodeAt(0) - 33;
    demand(digit >= 0 && digit < 85, "base-85");
    group.push(digit);
    if (group.length === 5) flush(4);
  }
  if (group.length > 1) flush(group.length - 1);
  return Uint8Array.from(out);
}
