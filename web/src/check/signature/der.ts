/** Distinguished Encoding Rules (ITU-T X.690), as far as certificates and signatures need them. */

import { hex } from "../../store/encoding";
import { demand } from "../pdf/values";

export const TAG = {
  integer: 0x02,
  bits: 0x03,
  octets: 0x04,
  null: 0x05,
  oid: 0x06,
  sequence: 0x30,
  set: 0x31,
  first: 0xa0,
} as const;

/** One element: `all` are its bytes, `body` those of its content. */
export class Element {
  constructor(
    readonly tag: number,
    readonly all: Uint8Array<ArrayBuffer>,
    readonly body: Uint8Array<ArrayBuffer>,
  ) {}

  /** The elements in it. Throws PdfError. */
  get parts(): Element[] {
    const parts: Element[] = [];
    for (let at = 0; at < this.body.length; ) {
      const part = elementAt(this.body, at);
      parts.push(part);
      at += part.all.length;
    }
    return parts;
  }

  part(index: number): Element {
    const part = this.parts[index];
    demand(part !== undefined, "part");
    return part;
  }

  /** The object identifier in it, its content in hex. */
  get oid(): string {
    demand(this.tag === TAG.oid, "oid");
    return hex(this.body);
  }
}

/** The element that begins at `at`. Throws PdfError where it is cut off or its length is padded. */
export function elementAt(bytes: Uint8Array<ArrayBuffer>, at = 0): Element {
  let body = at + 2;
  const short = bytes[at + 1];
  demand(short !== undefined, "length");
  let length = short;
  if (short >= 0x80) {
    const count = short & 0x7f;
    demand(count > 0 && count <= 3, "length");
    length = 0;
    for (let i = 0; i < count; i++) length = length * 256 + (bytes[body++] ?? 0);
    demand(length >= 0x80 && length >= 256 ** (count - 1), "length");
  }
  demand(body + length <= bytes.length, "end");
  const all = bytes.subarray(at, body + length) as Uint8Array<ArrayBuffer>;
  return new Element(
    bytes[at] ?? 0,
    all,
    bytes.subarray(body, body + length) as Uint8Array<ArrayBuffer>,
  );
}

/** An element of these parts, encoded. */
export function encoded(tag: number, ...parts: Uint8Array[]): Uint8Array<ArrayBuffer> {
  const length = parts.reduce((sum, part) => sum + part.length, 0);
  const digits: number[] = [];
  for (let rest = length; rest > 0; rest = Math.floor(rest / 256)) digits.unshift(rest & 0xff);
  const head = length < 0x80 ? [tag, length] : [tag, 0x80 | digits.length, ...digits];
  const out = new Uint8Array(head.length + length);
  out.set(head);
  let at = head.length;
  for (const part of parts) {
    out.set(part, at);
    at += part.length;
  }
  return out;
}

export function bytesOf(digits: string): Uint8Array<ArrayBuffer> {
  return Uint8Array.from(digits.match(/../g) ?? [], (pair) => Number.parseInt(pair, 16));
}

export function isSameBytes(one: Uint8Array, other: Uint8Array): boolean {
  return one.length === other.length && one.every((byte, at) => byte === other[at]);
}
