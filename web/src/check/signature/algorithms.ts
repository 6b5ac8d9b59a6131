/**
 * Ways to sign that a report may be signed in: RSA and the curves that browsers have, with digests of
 * SHA-2 (RFC 5754; RFC 4055 for PSS). The twin of server/bradawl/report/checking/authorities.py.
 */

import { demand } from "../pdf/values";
import { type Element, elementAt, isSameBytes, TAG } from "./der";

export type Digest = "SHA-1" | "SHA-256" | "SHA-384" | "SHA-512";

/** How something is signed. */
export interface Method {
  digest: Digest;
  /** Bytes of salt for RSA-PSS; null for the other paddings and for curves. */
  salt_bytes: number | null;
}

const DIGESTS: Record<string, Digest> = {
  "608648016503040201": "SHA-256",
  "608648016503040202": "SHA-384",
  "608648016503040203": "SHA-512",
};
const WITH_CURVE: Record<string, Digest> = {
  "2a8648ce3d040302": "SHA-256",
  "2a8648ce3d040303": "SHA-384",
  "2a8648ce3d040304": "SHA-512",
};
const WITH_RSA: Record<string, Digest> = {
  "2a864886f70d010105": "SHA-1",
  "2a864886f70d01010b": "SHA-256",
  "2a864886f70d01010c": "SHA-384",
  "2a864886f70d01010d": "SHA-512",
};
const RSA = "2a864886f70d010101";
const CURVE = "2a8648ce3d0201";
const PSS = "2a864886f70d01010a";
const MGF1 = "2a864886f70d010108";
/** By their identifiers: what browsers call them, and bytes of a number. */
const CURVES: Record<string, [string, number]> = {
  "2a8648ce3d030107": ["P-256", 32],
  "2b81040022": ["P-384", 48],
  "2b81040023": ["P-521", 66],
};
const FEWEST_RSA_BITS = 2048;

/** The digest that an algorithm without parameters names; null for one that is not taken. */
export function digestOf(algorithm: Element): Digest | null {
  return isPlain(algorithm) ? (DIGESTS[algorithm.part(0).oid] ?? null) : null;
}

/** Without parameters: NULL, or nothing there (RFC 5754, section 2). */
function isPlain({ tag, parts }: Element): boolean {
  const [, none] = parts;
  const isNull = none?.tag === TAG.null && none.body.length === 0;
  return tag === TAG.sequence && (parts.length === 1 || (parts.length === 2 && isNull));
}

/** How an algorithm beside a signature says it is made; `digest` is what it may leave unsaid. */
export function methodOf(algorithm: Element, key: Element, digest?: Digest): Method | null {
  const name = algorithm.part(0).oid;
  if (name === PSS && isRsa(key)) return pssOf(algorithm);
  if (!isPlain(algorithm)) return null;
  const said = isRsa(key) ? WITH_RSA[name] : WITH_CURVE[name];
  const meant = said ?? (isRsa(key) && name === RSA ? digest : undefined);
  return meant === undefined ? null : { digest: meant, salt_bytes: null };
}

/** RSASSA-PSS with one digest for everything (RFC 4055, 3.1). */
function pssOf(algorithm: Element): Method | null {
  const parameters = algorithm.part(1);
  const { parts } = parameters;
  const [outer, mask, salt] = parts;
  const isForm =
    algorithm.tag === TAG.sequence &&
    algorithm.parts.length === 2 &&
    parameters.tag === TAG.sequence &&
    parts.length === 3 &&
    outer?.tag === TAG.first &&
    mask?.tag === TAG.first + 1 &&
    salt?.tag === TAG.first + 2;
  if (!isForm) return null;
  const alone = [outer, mask, salt].map(({ parts: inner }) =>
    inner.length === 1 ? inner[0] : null,
  );
  const [hash, generator, size] = alone;
  if (!hash || !size || generator?.tag !== TAG.sequence || generator.parts.length !== 2) {
    return null;
  }
  const digest = digestOf(hash);
  const isSame = generator.part(0).oid === MGF1 && digestOf(generator.part(1)) === digest;
  const salt_bytes = isShortest(size) ? numberOf(size) : null;
  return digest !== null && isSame && salt_bytes !== null ? { digest, salt_bytes } : null;
}

/** A whole number, not negative, in its shortest form (X.690, 8.3). */
function isShortest({ tag, body: [first = 0x80, second = 0], body }: Element): boolean {
  const isShort = first === 0 && body.length > 1 ? second >= 0x80 : first < 0x80;
  return tag === TAG.integer && isShort;
}

function numberOf({ body }: Element): number | null {
  return body.length > 4 ? null : body.reduce((sum, byte) => sum * 256 + byte, 0);
}

const isRsa = (key: Element) => key.part(0).part(0).oid === RSA;

/** Demands a key (SubjectPublicKeyInfo) that is good enough, in the form that all readers take. */
export async function demandKey(key: Element): Promise<void> {
  if (isRsa(key)) {
    const bits = key.part(1).body;
    const modulus = elementAt(bits.subarray(1) as Uint8Array<ArrayBuffer>).part(0).body;
    const digits = modulus[0] === 0 ? modulus.subarray(1) : modulus;
    const size = 8 * digits.length - Math.clz32(digits[0] ?? 0) + 24;
    demand(size >= FEWEST_RSA_BITS, "weak");
  } else {
    const [kind, curve] = key.part(0).parts;
    const isKnown = kind?.oid === CURVE && curve?.tag === TAG.oid && curve.oid in CURVES;
    demand(isKnown, "rare-key");
  }
  const imported = await importedKey(key, "SHA-256", false);
  demand(imported !== null, "rare-key");
  const written = new Uint8Array(await crypto.subtle.exportKey("spki", imported));
  demand(isSameBytes(written, key.all), "rare-key");
}

async function importedKey(key: Element, hash: Digest, isPss: boolean): Promise<CryptoKey | null> {
  const namedCurve = isRsa(key) ? "" : (CURVES[key.part(0).part(1).oid]?.[0] ?? "");
  const padded = { name: isPss ? "RSA-PSS" : "RSASSA-PKCS1-v1_5", hash };
  const algorithm = isRsa(key) ? padded : { name: "ECDSA", namedCurve };
  // a point that is not on the curve is refused by the browser
  return crypto.subtle.importKey("spki", key.all, algorithm, true, ["verify"]).catch(() => null);
}

/** Whether a signature is one over these bytes by that key. Throws PdfError for another form. */
export async function isSignedBy(
  key: Element,
  { digest, salt_bytes }: Method,
  signature: Uint8Array<ArrayBuffer>,
  signedBytes: Uint8Array<ArrayBuffer>,
): Promise<boolean> {
  const publicKey = await importedKey(key, digest, salt_bytes !== null);
  demand(publicKey !== null, "key");
  const { verify } = crypto.subtle;
  const ask = (how: AlgorithmIdentifier | RsaPssParams | EcdsaParams, raw: BufferSource) =>
    verify.call(crypto.subtle, how, publicKey, raw, signedBytes);
  if (!isRsa(key)) return ask({ name: "ECDSA", hash: digest }, scalarsOf(signature, key));
  if (salt_bytes === null) return ask("RSASSA-PKCS1-v1_5", signature);
  return ask({ name: "RSA-PSS", saltLength: salt_bytes }, signature);
}

/** The two numbers of a signature with a curve, as browsers want them. */
function scalarsOf(signature: Uint8Array<ArrayBuffer>, key: Element): Uint8Array<ArrayBuffer> {
  const size = CURVES[key.part(0).part(1).oid]?.[1] ?? 0;
  const whole = elementAt(signature);
  const numbers = whole.parts;
  demand(whole.tag === TAG.sequence && whole.all.length === signature.length, "scalars");
  demand(numbers.length === 2, "scalars");
  const raw = new Uint8Array(2 * size);
  for (const [index, number] of numbers.entries()) {
    const bytes = number.body[0] === 0 ? number.body.subarray(1) : number.body;
    demand(isShortest(number) && bytes.length <= size, "scalars");
    raw.set(bytes, (index + 1) * size - bytes.length);
  }
  return raw;
}
