/** An X.509 certificate (RFC 5280): whose it is, from when to when, and its key. */

import { sha256 } from "../../store/encoding";
import { demand } from "../pdf/values";
import { type Element, TAG } from "./der";

const COMMON_NAME = "550403";
const P256 = "2a8648ce3d030107";
const UTF8_STRING = 0x0c;
const BMP_STRING = 0x1e;
const UTC_TIME = 0x17;

export interface Certificate {
  /** The common name of its subject, as it stands there; "" without one. */
  name: string;
  /** SHA-256 of its DER, lower-case hex. */
  fingerprint: string;
  /** Milliseconds since 1970. */
  begins: number;
  ends: number;
  /** Its public key's SubjectPublicKeyInfo: P-256. */
  key: Uint8Array<ArrayBuffer>;
  issuer: Uint8Array<ArrayBuffer>;
  serial: Uint8Array<ArrayBuffer>;
}

/** What a certificate says. Throws PdfError for one of another kind. */
export async function certificateOf(element: Element): Promise<Certificate> {
  const fields = element.part(0).parts;
  const skip = fields[0]?.tag === TAG.first ? 1 : 0;
  const [serial, , issuer, validity, subject, key] = fields.slice(skip);
  demand(!!(serial && issuer && validity && subject && key), "certificate");
  demand(key.part(0).part(1).oid === P256, "curve");
  return {
    name: commonName(subject),
    fingerprint: await sha256(element.all),
    begins: moment(validity.part(0)),
    ends: moment(validity.part(1)),
    key: key.all,
    issuer: issuer.all,
    serial: serial.all,
  };
}

function commonName(subject: Element): string {
  for (const set of subject.parts) {
    for (const attribute of set.parts) {
      if (attribute.part(0).oid === COMMON_NAME) return textOf(attribute.part(1));
    }
  }
  return "";
}

function textOf({ tag, body }: Element): string {
  if (tag === BMP_STRING) return new TextDecoder("utf-16be").decode(body);
  return new TextDecoder(tag === UTF8_STRING ? "utf-8" : "latin1").decode(body);
}

/** RFC 5280, 4.1.2.5: two digits of a year from 1950 on. */
function moment({ tag, body }: Element): number {
  const written = String.fromCharCode(...body);
  const short = tag === UTC_TIME;
  const full = short ? `${Number(written.slice(0, 2)) < 50 ? "20" : "19"}${written}` : written;
  const parts = /^(\d{4})(\d\d)(\d\d)(\d\d)(\d\d)(\d\d)Z$/.exec(full);
  demand(parts !== null, "time");
  const [year = 0, month = 1, ...rest] = parts.slice(1).map(Number);
  return Date.UTC(year, month - 1, ...rest);
}
