/**
 * The signature in a PDF: CMS SignedData (RFC 5652) of a PAdES baseline signature with one signer,
 * ECDSA on P-256 with SHA-256, as this product makes it.
 *
 * Most of CMS is scaffolding that no signature covers. So the whole is built again from what is
 * covered or compared, and must be the same to the byte.
 */

import { digest } from "../../store/encoding";
import { demand } from "../pdf/values";
import { type Certificate, certificateOf } from "./certificate";
import { bytesOf, type Element, elementAt, encoded, isSameBytes, TAG } from "./der";

const OID = {
  data: "2a864886f70d010701",
  signedData: "2a864886f70d010702",
  sha256: "608648016503040201",
  ecdsa: "2a8648ce3d040302",
  contentType: "2a864886f70d010903",
  messageDigest: "2a864886f70d010904",
  certificateV2: "2a864886f70d010910022f",
  timeStamp: "2a864886f70d010910020e",
};
const VERSION_1 = bytesOf("020101");
const SCALAR_BYTES = 32;

export interface Signed {
  certificate: Certificate;
  /** The signed bytes have the digest that was signed. */
  isIntact: boolean;
  /** The signature was made with the certificate's key. */
  isValid: boolean;
  /** There is a time stamp, which nothing here checks. */
  isStamped: boolean;
}

/** What a signature's contents say of the bytes that it covers. Throws PdfError. */
export async function signedBy(
  contents: Uint8Array<ArrayBuffer>,
  covered: Uint8Array<ArrayBuffer>,
): Promise<Signed> {
  const whole = elementAt(contents);
  demand(
    contents.subarray(whole.all.length).every((byte) => byte === 0),
    "padding",
  );
  demand(whole.part(0).oid === OID.signedData, "type");
  const fields = whole.part(1).part(0).parts;
  const bag = fields.find(({ tag }) => tag === TAG.first);
  const signers = fields.at(-1);
  demand(bag !== undefined && signers?.tag === TAG.set && signers.parts.length === 1, "signers");
  const [, , , attributes, , signature, unsigned] = signers.part(0).parts;
  demand(attributes?.tag === TAG.first && signature?.tag === TAG.octets, "signer");
  // a time stamp may stand unsigned beside it, and nothing else
  demand(
    unsigned === undefined || unsigned.parts.every((one) => one.part(0).oid === OID.timeStamp),
    "unsigned",
  );
  demand(attribute(attributes, OID.contentType).oid === OID.data, "content");
  const element = await namedCertificate(bag.parts, attributes);
  const certificate = await certificateOf(element);
  const rebuilt = asWritten(
    element,
    bag.parts.length,
    certificate,
    attributes,
    signature,
    unsigned,
  );
  demand(isSameBytes(rebuilt, whole.all), "form");
  const asSet = attributes.all.slice();
  asSet[0] = TAG.set; // RFC 5652, 5.4: signed as a SET
  return {
    certificate,
    isIntact: isSameBytes(attribute(attributes, OID.messageDigest).body, await digest(covered)),
    isValid: await verifies(certificate.key, signature, asSet),
    isStamped: unsigned?.parts.some((one) => one.part(0).oid === OID.timeStamp) ?? false,
  };
}

/** The one value of an attribute that stands there once. */
function attribute(attributes: Element, oid: string): Element {
  const found = attributes.parts.filter((one) => one.part(0).oid === oid);
  demand(found.length === 1 && found[0]?.part(1).parts.length === 1, "attribute");
  return found[0].part(1).part(0);
}

/** The certificate that a signed attribute names by its hash (RFC 5035); no other may lie beside. */
async function namedCertificate(bag: Element[], attributes: Element): Promise<Element> {
  const named = attribute(attributes, OID.certificateV2)
    .part(0)
    .part(0)
    .parts.find(({ tag }) => tag === TAG.octets);
  const [first] = bag;
  demand(named !== undefined && first !== undefined, "certificate");
  demand(
    bag.every(({ all }) => isSameBytes(all, first.all)),
    "spare",
  );
  demand(isSameBytes(await digest(first.all), named.body), "spare");
  return first;
}

/** The whole as pyHanko writes it, of its signed parts, the certificate and the signature. */
function asWritten(
  certificate: Element,
  copies: number,
  { issuer, serial }: Certificate,
  attributes: Element,
  signature: Element,
  unsigned: Element | undefined,
): Uint8Array {
  const oid = (digits: string) => encoded(TAG.oid, bytesOf(digits));
  const sequence = (...parts: Uint8Array[]) => encoded(TAG.sequence, ...parts);
  const sha = sequence(oid(OID.sha256), encoded(TAG.null));
  const scalars = elementAt(signature.body).parts.map(({ body }) => encoded(TAG.integer, body));
  const signer = sequence(
    VERSION_1,
    sequence(issuer, serial),
    sha,
    encoded(TAG.first, attributes.body),
    sequence(oid(OID.ecdsa)),
    encoded(TAG.octets, sequence(...scalars)),
    ...(unsigned === undefined ? [] : [unsigned.all]),
  );
  const bag = Array.from({ length: copies }, () => certificate.all);
  const signedData = sequence(
    VERSION_1,
    encoded(TAG.set, sha),
    sequence(oid(OID.data)),
    encoded(TAG.first, ...bag),
    encoded(TAG.set, signer),
  );
  return sequence(oid(OID.signedData), encoded(TAG.first, signedData));
}

async function verifies(
  key: Uint8Array<ArrayBuffer>,
  signature: Element,
  signedBytes: Uint8Array<ArrayBuffer>,
): Promise<boolean> {
  const scalars = elementAt(signature.body).parts;
  demand(scalars.length === 2, "scalars");
  const raw = new Uint8Array(2 * SCALAR_BYTES);
  for (const [index, { tag, body }] of scalars.entries()) {
    const bytes = body[0] === 0 ? body.subarray(1) : body;
    // the shortest form alone, and nothing negative (X.690, 8.3)
    const isShortest = body[0] === 0 ? (body[1] ?? 0) >= 0x80 : (body[0] ?? 0x80) < 0x80;
    demand(tag === TAG.integer && isShortest && bytes.length <= SCALAR_BYTES, "scalars");
    raw.set(bytes, (index + 1) * SCALAR_BYTES - bytes.length);
  }
  const curve = { name: "ECDSA", namedCurve: "P-256" };
  // a point that is not on the curve is refused by the browser
  const publicKey = await crypto.subtle
    .importKey("spki", key, curve, false, ["verify"])
    .catch(() => null);
  demand(publicKey !== null, "key");
  return crypto.subtle.verify({ name: "ECDSA", hash: "SHA-256" }, publicKey, raw, signedBytes);
}
