/**
 * The signature in a PDF: CMS SignedData (RFC 5652) with one signer, as programs of others make it
 * too. The twin of server/bradawl/report/checking/envelope.py.
 *
 * Most of CMS is scaffolding that no signature covers. So the whole is built again from what is
 * covered or compared, and must be the same to the byte.
 */

import { hex } from "../../store/encoding";
import { demand } from "../pdf/values";
import { type Digest, demandKey, digestOf, isSignedBy, methodOf } from "./algorithms";
import { belongTo, isVouchedFor } from "./authorities";
import { type Certificate, certificateOf, moment } from "./certificate";
import { bytesOf, type Element, elementAt, encoded, isSameBytes, TAG } from "./der";

const OID = {
  data: "2a864886f70d010701",
  signedData: "2a864886f70d010702",
  contentType: "2a864886f70d010903",
  messageDigest: "2a864886f70d010904",
  signingTime: "2a864886f70d010905",
  protection: "2a864886f70d010934",
  certificateV1: "2a864886f70d010910020c",
  certificateV2: "2a864886f70d010910022f",
  timeStamp: "2a864886f70d010910020e",
};
const VERSION_1 = bytesOf("020101");

export interface Signed {
  certificate: Certificate;
  /** The signed bytes have the digest that was signed. */
  isIntact: boolean;
  /** The signature was made with the certificate's key. */
  isValid: boolean;
  /** There is a time stamp, which nothing here checks. */
  isStamped: boolean;
  /** When the signer's clock said it was, where that is signed; milliseconds since 1970. */
  signedAt: number | null;
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
  const info = signerIn(signers.part(0));
  const { attributes, signature, unsigned } = info;
  demand(attribute(attributes, OID.contentType).oid === OID.data, "content");
  const digest = digestOf(info.digest);
  demand(digest !== null, "weak");
  const certificates = await Promise.all(bag.parts.map(certificateOf));
  const named = await namedDigest(attributes);
  const at = await ownAmong(bag.parts, certificates, named, info.sid);
  const [certificate, written] = [certificates[at], bag.parts[at]];
  demand(certificate !== undefined && written !== undefined, "certificate");
  await demandKey(certificate.key);
  demand(await belongTo(certificate, certificates), "spare");
  demand(named !== null || (await isVouchedFor(certificate, certificates)), "unnamed");
  const method = methodOf(info.algorithm, certificate.key, digest);
  demand(method !== null && method.digest === digest && isProtected(info), "algorithm");
  const rebuilt = asWritten(info, certificate, bag);
  demand(isSameBytes(rebuilt, whole.all), "form");
  const asSet = attributes.all.slice();
  asSet[0] = TAG.set; // RFC 5652, 5.4: signed as a SET
  const found = new Uint8Array(await crypto.subtle.digest(digest, covered));
  const time = attributes.parts.filter((one) => one.part(0).oid === OID.signingTime);
  return {
    certificate,
    isIntact: isSameBytes(attribute(attributes, OID.messageDigest).body, found),
    isValid: await isSignedBy(certificate.key, method, signature.body, asSet),
    isStamped: unsigned !== undefined,
    signedAt: time.length === 0 ? null : moment(attribute(attributes, OID.signingTime)),
  };
}

interface Signer {
  sid: Element;
  digest: Element;
  attributes: Element;
  algorithm: Element;
  signature: Element;
  unsigned: Element | undefined;
}

function signerIn({ parts }: Element): Signer {
  const [, sid, digest, attributes, algorithm, signature, unsigned] = parts;
  demand(sid !== undefined && digest !== undefined && algorithm !== undefined, "signer");
  demand(attributes?.tag === TAG.first && signature?.tag === TAG.octets, "signer");
  // a time stamp may stand unsigned beside it, and nothing else
  const isStamp = unsigned?.parts.length === 1 && unsigned.part(0).part(0).oid === OID.timeStamp;
  demand(parts.length === 6 || (parts.length === 7 && isStamp), "unsigned");
  return { sid, digest, attributes, algorithm, signature, unsigned };
}

/** The one value of an attribute that stands there once. */
function attribute(attributes: Element, oid: string): Element {
  const found = attributes.parts.filter((one) => one.part(0).oid === oid);
  demand(found.length === 1 && found[0]?.part(1).parts.length === 1, "attribute");
  return found[0].part(1).part(0);
}

/** The digest of the certificate that a signed attribute names (RFC 5035); null where none does. */
async function namedDigest(attributes: Element): Promise<[Digest, Element] | null> {
  const has = (oid: string) => attributes.parts.some((one) => one.part(0).oid === oid);
  demand(!has(OID.certificateV1), "weak"); // SHA-1
  if (!has(OID.certificateV2)) return null;
  const { parts } = attribute(attributes, OID.certificateV2).part(0).part(0);
  const [first] = parts;
  const named = parts.find(({ tag }) => tag === TAG.octets);
  demand(first !== undefined && named !== undefined, "certificate");
  const digest = first === named ? "SHA-256" : digestOf(first);
  demand(digest !== null, "weak");
  return [digest, named];
}

/** Which certificate is the signer's: the one that is named, else that of the identifier. */
async function ownAmong(
  bag: Element[],
  certificates: Certificate[],
  named: [Digest, Element] | null,
  sid: Element,
): Promise<number> {
  for (const [at, { all }] of bag.entries()) {
    if (named === null) {
      const { issuer, serial } = certificates[at] as Certificate;
      if (isSameBytes(sid.all, encoded(TAG.sequence, issuer, serial))) return at;
      continue;
    }
    const digest = new Uint8Array(await crypto.subtle.digest(named[0], all));
    if (isSameBytes(digest, named[1].body)) return at;
  }
  return -1;
}

/** Whether the algorithms are those that a signed attribute names, if one does (RFC 6211). */
function isProtected({ attributes, digest, algorithm }: Signer): boolean {
  if (attributes.parts.every((one) => one.part(0).oid !== OID.protection)) return true;
  const { parts } = attribute(attributes, OID.protection);
  const [first, second] = parts;
  const said = ({ parts: [name, parameters] }: Element) =>
    hex(name?.all ?? new Uint8Array()) +
    (parameters === undefined || parameters.tag === TAG.null ? "" : hex(parameters.all));
  return (
    parts.length === 2 &&
    first !== undefined &&
    second?.tag === TAG.first + 1 &&
    said(first) === said(digest) &&
    said(second) === said(algorithm)
  );
}

/** The whole as it must be written, of its signed parts, the certificates and the signature. */
function asWritten(
  { digest, attributes, algorithm, signature, unsigned }: Signer,
  { issuer, serial }: Certificate,
  bag: Element,
): Uint8Array {
  const oid = (digits: string) => encoded(TAG.oid, bytesOf(digits));
  const sequence = (...parts: Uint8Array[]) => encoded(TAG.sequence, ...parts);
  const signer = sequence(
    VERSION_1,
    sequence(issuer, serial),
    digest.all,
    encoded(TAG.first, attributes.body),
    algorithm.all,
    encoded(TAG.octets, signature.body),
    ...(unsigned === undefined ? [] : [unsigned.all]),
  );
  const signedData = sequence(
    VERSION_1,
    encoded(TAG.set, digest.all),
    sequence(oid(OID.data)),
    encoded(TAG.first, bag.body),
    encoded(TAG.set, signer),
  );
  return sequence(oid(OID.signedData), encoded(TAG.first, signedData));
}
