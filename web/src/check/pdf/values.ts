/**
 * The values of a PDF file (ISO 32000-1, 7.3), read strictly: only what this product writes.
 *
 * A lenient reader and a strict one may see two documents in one file; what is not written as we
 * write it is refused.
 */

/** Why a file is not one that this product wrote. The text is for whoever debugs, never shown. */
export class PdfError extends Error {
  override name = "PdfError";
}

export function demand(isSo: boolean, otherwise: string): asserts isSo {
  if (!isSo) throw new PdfError(otherwise);
}

export class Name {
  constructor(readonly name: string) {}
}

export class Reference {
  constructor(
    readonly number: number,
    readonly generation: number,
  ) {}
}

/** A string with where it stands in the file, its delimiters included. */
export class PdfString {
  constructor(
    readonly bytes: Uint8Array,
    readonly begin: number,
    readonly end: number,
    readonly isHex: boolean,
  ) {}
}

/** A stream: its dictionary, and where its bytes begin in the file. */
export class Stream {
  constructor(
    readonly dictionary: Dictionary,
    readonly begin: number,
  ) {}
}

/** An operator of a page's content. */
export class Operator {
  constructor(readonly name: string) {}
}

export type Dictionary = Map<string, Value>;
export type Value =
  | null
  | boolean
  | number
  | Name
  | Reference
  | PdfString
  | Stream
  | Operator
  | Value[]
  | Dictionary;

const DEEPEST = 64;
const LATIN = new TextDecoder("latin1");

/** Bytes as text, one letter a byte. */
export function latin(bytes: Uint8Array): string {
  return LATIN.decode(bytes);
}

function isSpace(byte: number | undefined): boolean {
  return byte === 32 || byte === 10 || byte === 13 || byte === 9 || byte === 12 || byte === 0;
}

function isDelimiter(byte: number | undefined): boolean {
  return byte !== undefined && "()<>[]{}/%".includes(String.fromCharCode(byte));
}

/** Reads values one after another from `at` on. Throws PdfError. */
export class ValueReader {
  private depth = 0;

  constructor(
    readonly bytes: Uint8Array,
    public at = 0,
    /** Words that are no values are operators there, and nothing refers to other objects. */
    private readonly isContent = false,
  ) {}

  /** Past white space and comments. */
  skipSpace(): void {
    for (;;) {
      const byte = this.bytes[this.at];
      if (isSpace(byte)) this.at++;
      else if (byte === 0x25) {
        while (this.at < this.bytes.length && !/[\r\n]/.test(this.letter())) this.at++;
      } else return;
    }
  }

  private letter(): string {
    return String.fromCharCode(this.bytes[this.at] ?? 0);
  }

  /** The letters up to white space or a delimiter. */
  word(): string {
    const begin = this.at;
    while (
      this.at < this.bytes.length &&
      !isSpace(this.bytes[this.at]) &&
      !isDelimiter(this.bytes[this.at])
    ) {
      this.at++;
    }
    return latin(this.bytes.subarray(begin, this.at));
  }

  /** A whole number in plain digits. */
  whole(): number {
    this.skipSpace();
    const digits = this.word();
    demand(/^\d{1,10}$/.test(digits), "number");
    return Number(digits);
  }

  value(): Value {
    this.depth++;
    demand(this.depth <= DEEPEST, "too-deep");
    const value = this.any();
    this.depth--;
    return value;
  }

  private any(): Value {
    this.skipSpace();
    const [byte, next] = this.bytes.subarray(this.at, this.at + 2);
    if (byte === 0x2f) return this.name();
    if (byte === 0x3c) return next === 0x3c ? this.dictionary() : this.hexString();
    if (byte === 0x28) return this.literalString();
    if (byte === 0x5b) return this.array();
    return this.plain();
  }

  private name(): Name {
    this.at++;
    const written = this.word();
    return new Name(
      written.replace(/#([0-9a-fA-F]{2})/g, (_, code) =>
        String.fromCharCode(Number.parseInt(code, 16)),
      ),
    );
  }

  private dictionary(): Dictionary {
    this.at += 2;
    const read: Dictionary = new Map();
    for (;;) {
      this.skipSpace();
      if (this.bytes[this.at] === 0x3e && this.bytes[this.at + 1] === 0x3e) {
        this.at += 2;
        return read;
      }
      const key = this.value();
      demand(key instanceof Name, "key");
      // readers differ in which of two they take
      demand(!read.has(key.name), "key-twice");
      read.set(key.name, this.value());
    }
  }

  private array(): Value[] {
    this.at++;
    const read: Value[] = [];
    for (;;) {
      this.skipSpace();
      if (this.bytes[this.at] === 0x5d) {
        this.at++;
        return read;
      }
      read.push(this.value());
    }
  }

  private hexString(): PdfString {
    const begin = this.at;
    const end = this.bytes.indexOf(0x3e, begin);
    demand(end > 0, "end-string");
    const digits = latin(this.bytes.subarray(begin + 1, end)).replace(/\s+/g, "");
    demand(/^([0-9a-fA-F]{2})*$/.test(digits), "hex-digits");
    const bytes = new Uint8Array(digits.length / 2);
    for (let i = 0; i < bytes.length; i++) {
      bytes[i] = Number.parseInt(digits.slice(2 * i, 2 * i + 2), 16);
    }
    this.at = end + 1;
    return new PdfString(bytes, begin, this.at, true);
  }

  private literalString(): PdfString {
    const begin = this.at;
    const read: number[] = [];
    let depth = 1;
    this.at++;
    for (;;) {
      demand(this.at < this.bytes.length, "end-string");
      const byte = this.bytes[this.at++] as number;
      if (byte === 0x5c) {
        const escaped = this.escaped();
        if (escaped !== null) read.push(escaped);
        continue;
      }
      if (byte === 0x28) depth++;
      if (byte === 0x29 && --depth === 0) break;
      read.push(byte);
    }
    return new PdfString(Uint8Array.from(read), begin, this.at, false);
  }

  /** What stands after a backslash; null for a line that goes on. */
  private escaped(): number | null {
    const byte = this.bytes[this.at++] ?? 0;
    const control = "nrtbf".indexOf(String.fromCharCode(byte));
    if (control >= 0) return [10, 13, 9, 8, 12][control] ?? 0;
    if (byte === 13) {
      if (this.bytes[this.at] === 10) this.at++;
      return null;
    }
    if (byte === 10) return null;
    if (byte < 0x30 || byte > 0x37) return byte;
    let code = byte - 0x30;
    for (let i = 0; i < 2; i++) {
      const digit = this.bytes[this.at] ?? 0;
      if (digit < 0x30 || digit > 0x37) break;
      code = code * 8 + digit - 0x30;
      this.at++;
    }
    return code & 0xff;
  }

  /** A number, a word, or a reference. */
  private plain(): Value {
    const word = this.word();
    demand(word !== "", "value");
    if (word === "true") return true;
    if (word === "false") return false;
    if (word === "null") return null;
    if (/^[+-]?\d+$/.test(word)) return this.reference(Number(word)) ?? Number(word);
    if (/^[+-]?(\d+\.\d*|\.\d+)$/.test(word)) return Number.parseFloat(word);
    demand(this.isContent, "value");
    return new Operator(word);
  }

  private reference(number: number): Reference | null {
    if (this.isContent) return null;
    const after = this.at;
    this.skipSpace();
    const generation = this.word();
    this.skipSpace();
    if (/^\d{1,5}$/.test(generation) && this.letter() === "R") {
      this.at++;
      demand(Number(generation) === 0, "generation");
      return new Reference(number, 0);
    }
    this.at = after;
    return null;
  }
}

/** Whether two values are the same; streams never are. */
export function isSame(one: Value | undefined, other: Value | undefined): boolean {
  if (one instanceof Name) return other instanceof Name && one.name === other.name;
  if (one instanceof Operator || one instanceof Stream) return false;
  if (one instanceof Reference) {
    return (
      other instanceof Reference &&
      one.number === other.number &&
      one.generation === other.generation
    );
  }
  if (one instanceof PdfString) {
    return other instanceof PdfString && latin(one.bytes) === latin(other.bytes);
  }
  if (Array.isArray(one)) {
    return (
      Array.isArray(other) &&
      one.length === other.length &&
      one.every((value, i) => isSame(value, other[i]))
    );
  }
  if (one instanceof Map) {
    return (
      other instanceof Map &&
      one.size === other.size &&
      [...one].every(([key, value]) => other.has(key) && isSame(value, other.get(key)))
    );
  }
  return one === other;
}

/** The numbers of all objects that a value refers to. */
export function referred(value: Value | undefined, into: Set<number> = new Set()): Set<number> {
  if (value instanceof Reference) into.add(value.number);
  else if (value instanceof Stream) referred(value.dictionary, into);
  else if (value instanceof Map) for (const inner of value.values()) referred(inner, into);
  else if (Array.isArray(value)) for (const inner of value) referred(inner, into);
  return into;
}
