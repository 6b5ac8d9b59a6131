/**
 * The text of a page as its code prints it, with where each run begins (ISO 32000-1, 9).
 *
 * Good for finding our own sentences again. It does not see whether something covers a text, and
 * not what was drawn as a picture: the reader's own eyes do.
 */

import type { PdfDocument } from "./file";
import {
  type Dictionary,
  latin,
  Name,
  Operator,
  PdfString,
  Stream,
  type Value,
  ValueReader,
} from "./values";

export interface Run {
  text: string;
  x: number;
  y: number;
}

type Matrix = [number, number, number, number, number, number];

const IDENTITY: Matrix = [1, 0, 0, 1, 0, 0];
const DEEPEST_FORM = 4;
const MOST_RUNS = 20_000;

/** How a font's codes read: so many bytes a code, and each one's text. */
interface Font {
  bytes: number;
  texts: Map<number, string>;
}

function times(a: Matrix, b: Matrix): Matrix {
  return [
    a[0] * b[0] + a[1] * b[2],
    a[0] * b[1] + a[1] * b[3],
    a[2] * b[0] + a[3] * b[2],
    a[2] * b[1] + a[3] * b[3],
    a[4] * b[0] + a[5] * b[2] + b[4],
    a[4] * b[1] + a[5] * b[3] + b[5],
  ];
}

/** The runs of a page, in the order in which they are written. Throws PdfError. */
export async function runsOf(document: PdfDocument, page: Dictionary): Promise<Run[]> {
  const runs: Run[] = [];
  const content = await document.decoded(document.stream(page.get("Contents")));
  const resources = document.resolved(inherited(document, page, "Resources"));
  const found = resources instanceof Map ? resources : new Map<string, Value>();
  await new Reading(document, runs).read(content, found, IDENTITY, 0);
  return runs;
}

function inherited(document: PdfDocument, page: Dictionary, key: string): Value | undefined {
  let node: Value = page;
  for (let depth = 0; node instanceof Map && depth < 32; depth++) {
    if (node.has(key)) return node.get(key);
    node = document.resolved(node.get("Parent"));
  }
  return undefined;
}

class Reading {
  private readonly fonts = new Map<Value, Font>();

  constructor(
    private readonly document: PdfDocument,
    private readonly runs: Run[],
  ) {}

  async read(
    content: Uint8Array,
    resources: Dictionary,
    begin: Matrix,
    depth: number,
  ): Promise<void> {
    const reader = new ValueReader(content, 0, true);
    const kept: Matrix[] = [];
    let graphics = begin;
    let [line, at] = [IDENTITY, IDENTITY];
    let leading = 0;
    let font: Font | null = null;
    let given: Value[] = [];
    const numbers = () => given.map((value) => (typeof value === "number" ? value : 0));
    const move = (x: number, y: number) => {
      line = times([1, 0, 0, 1, x, y], line);
      at = line;
    };
    for (;;) {
      reader.skipSpace();
      if (reader.at >= content.length || this.runs.length > MOST_RUNS) return;
      const value = reader.value();
      if (!(value instanceof Operator)) {
        given.push(value);
        continue;
      }
      const [a = 0, b = 0, c = 0, d = 0, e = 0, f = 0] = numbers();
      switch (value.name) {
        case "q":
          kept.push(graphics);
          break;
        case "Q":
          graphics = kept.pop() ?? begin;
          break;
        case "cm":
          graphics = times([a, b, c, d, e, f], graphics);
          break;
        case "BT":
          line = at = IDENTITY;
          break;
        case "Tm":
          line = at = [a, b, c, d, e, f];
          break;
        case "TL":
          leading = a;
          break;
        case "TD":
          leading = -b;
          move(a, b);
          break;
        case "Td":
          move(a, b);
          break;
        case "T*":
          move(0, -leading);
          break;
        case "Tf":
          font = await this.font(resources, given[0]);
          break;
        case "'":
        case '"':
          move(0, -leading);
          this.show(given, font, times(at, graphics));
          break;
        case "Tj":
        case "TJ":
          this.show(given, font, times(at, graphics));
          break;
        case "Do":
          await this.form(resources, given[0], graphics, depth);
          break;
        case "BI":
          return; // a picture within the code: we write none
      }
      given = [];
    }
  }

  private show(given: Value[], font: Font | null, [, , , , x, y]: Matrix): void {
    const last = given.at(-1);
    const parts = (Array.isArray(last) ? last : [last]).filter((one) => one instanceof PdfString);
    const text = parts.map(({ bytes }) => read(bytes, font)).join("");
    if (text.trim() !== "") this.runs.push({ text, x, y });
  }

  private async form(
    resources: Dictionary,
    name: Value | undefined,
    graphics: Matrix,
    depth: number,
  ): Promise<void> {
    const forms = this.document.resolved(resources.get("XObject"));
    if (!(forms instanceof Map && name instanceof Name) || depth >= DEEPEST_FORM) return;
    const form = this.document.resolved(forms.get(name.name));
    if (!(form instanceof Stream)) return;
    const type = form.dictionary.get("Subtype");
    if (!(type instanceof Name && type.name === "Form")) return;
    const own = this.document.resolved(form.dictionary.get("Resources"));
    const written = this.document.resolved(form.dictionary.get("Matrix"));
    const matrix = Array.isArray(written) && written.length === 6 ? (written as Matrix) : IDENTITY;
    const content = await this.document.decoded(form);
    const inside = own instanceof Map ? own : resources;
    await this.read(content, inside, times(matrix, graphics), depth + 1);
  }

  private async font(resources: Dictionary, name: Value | undefined): Promise<Font | null> {
    const fonts = this.document.resolved(resources.get("Font"));
    if (!(fonts instanceof Map && name instanceof Name)) return null;
    const dictionary = this.document.resolved(fonts.get(name.name));
    if (!(dictionary instanceof Map)) return null;
    const known = this.fonts.get(dictionary);
    if (known !== undefined) return known;
    const table = this.document.resolved(dictionary.get("ToUnicode"));
    const read =
      table instanceof Stream
        ? codes(await this.document.decoded(table))
        : { bytes: 1, texts: new Map() };
    this.fonts.set(dictionary, read);
    return read;
  }
}

function read(bytes: Uint8Array, font: Font | null): string {
  if (font === null) return latin(bytes);
  let text = "";
  for (let at = 0; at < bytes.length; at += font.bytes) {
    let code = 0;
    for (let i = 0; i < font.bytes; i++) code = code * 256 + (bytes[at + i] ?? 0);
    text += font.texts.get(code) ?? (font.bytes === 1 ? String.fromCharCode(code) : "");
  }
  return text;
}

/** What a ToUnicode table says (ISO 32000-1, 9.10.3). */
function codes(table: Uint8Array): Font {
  const written = latin(table);
  const texts = new Map<number, string>();
  const space = /begincodespacerange\s*<([0-9a-fA-F]+)>/.exec(written);
  const number = (digits: string) => Number.parseInt(digits, 16);
  for (const [, rows = ""] of written.matchAll(/beginbfchar([\s\S]*?)endbfchar/g)) {
    for (const [, code = "", text = ""] of rows.matchAll(/<(\w+)>\s*<(\w+)>/g)) {
      texts.set(number(code), wide(text));
    }
  }
  for (const [, rows = ""] of written.matchAll(/beginbfrange([\s\S]*?)endbfrange/g)) {
    const found = rows.matchAll(/<(\w+)>\s*<(\w+)>\s*(?:<(\w+)>|\[([^\]]*)\])/g);
    for (const [, from = "", to = "", first, list] of found) {
      const each = [...(list ?? "").matchAll(/<(\w+)>/g)].map(([, digits = ""]) => wide(digits));
      for (let code = number(from); code <= Math.min(number(to), number(from) + 0xffff); code++) {
        const step = code - number(from);
        const text = first === undefined ? each[step] : shifted(first, step);
        if (text !== undefined) texts.set(code, text);
      }
    }
  }
  return { bytes: (space?.[1]?.length ?? 2) / 2, texts };
}

function shifted(digits: string, step: number): string {
  const last = digits.slice(-4);
  return wide(
    digits.slice(0, -4) + (Number.parseInt(last, 16) + step).toString(16).padStart(4, "0"),
  );
}

/** UTF-16 in hex digits as text. */
function wide(digits: string): string {
  const units = digits.match(/.{4}/g) ?? [];
  return String.fromCharCode(...units.map((unit) => Number.parseInt(unit, 16)));
}
