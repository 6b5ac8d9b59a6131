/** An X.509 certificate (RFC 5280): whose it is, from when to when, and its key. */

import { sha256 } from "../../store/encoding";
import { demand } from "../pdf/values";
import { type Element, TAG } from "./der";

const COMMON_NAME = "550403";
const ORGANIZATION = "55040a";
const UTF8_STRING = 0x0c;
const BMP_STRING = 0x1e;
const UTC_TIME = 0x17;

export interface Certificate {
  /** What its owner is called, as it stands there: the common name, else the organization's. */
  name: string;
  /** Everything else that its owner is called. */
  names: string[];
  /** SHA-256 of its DER, lower-case hex. */
  fingerprint: string;
  /** Milliseconds since 1970. */
  begins: number;
  ends: number;
  /** Its public key's SubjectPublicKeyInfo. */
  key: Element;
  subject: Uint8Array<ArrayBuffer>;
  issuer: Uint8Array<ArrayBuffer>;
  serial: Uint8Array<ArrayBuffer>;
  /** How its issuer signed it: the algorithm outside and inside, over what. */
  signed: {
    algorithm: Element;
    inner: Element;
    bytes: Uint8Array<ArrayBuffer>;
    signature: Uint8Array<ArrayBuffer>;
  };
}

/** What a certificate says. Throws PdfError for one of another kind. */
export async function certificateOf(element: Element): Promise<Certificate> {
  // its tag is what its issuer's signature does not cover
  demand(element.tag === TAG.sequence && element.parts.length === 3, "certificate");
  const [whole, algorithm, signature] = [element.part(0), element.part(1), element.part(2)];
  const fields = whole.parts;
  const skip = fields[0]?.tag === TAG.first ? 1 : 0;
  const [serial, inner, issuer, validity, subject, key] = fields.slice(skip);
  demand(!!(serial && inner && issuer && validity && subject && key), "certificate");
  // no bits of the last byte are left over
  demand(signature.tag === TAG.bits && signature.body[0] === 0, "certificate");
  const names = namesIn(subject);
  const called = (oid: string) => names.filter(([kind]) => kind === oid).map(([, name]) => name);
  return {
    name: called(COMMON_NAME).join(" ") || called(ORGANIZATION).join(" "),
    names: names.map(([, name]) => name),
    fingerprint: await sha256(element.all),
    begins: moment(validity.part(0)),
    ends: moment(validity.part(1)),
    key,
    subject: subject.all,
    issuer: issuer.all,
    serial: serial.all,
    signed: {
      algorithm,
      inner,
      bytes: whole.all,
      signature: signature.body.subarray(1) as Uint8Array<ArrayBuffer>,
    },
  };
}

/** What a name says, with the kind of each part. */
function namesIn(subject: Element): [string, string][] {
  return subject.parts
    .flatMap((set) => set.parts)
    .map((attribute) => [attribute.part(0).oid, textOf(attribute.part(1))]);
}

function textOf({ tag, body }: Element): string {
  if (tag === BMP_STRING) return new TextDecoder("utf-16be").decode(body);
  return new TextDecoder(tag === UTF8_STRING ? "utf-8" : "latin1").decode(body);
}

/** A time in milliseconds since 1970 (RFC 5280, 4.1.2.5: two digits of a year from 1950 on). */
export function moment({ tag, body }: Element): number {
  const written = String.fromCharCode(...body);
  const short = tag === UTC_TIME;
  const full = short ? `${Number(written.slice(0, 2)) < 50 ? "20" : "19"}${written}` : written;
  const parts = /^(\d{4})(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)Z$/.exec(full);
  demand(parts !== null, "time");
  const [year = 0, month = 1, ...rest] = parts.slice(1).map(Number);
  return Date.UTC(year, month - 1, ...rest);
}
