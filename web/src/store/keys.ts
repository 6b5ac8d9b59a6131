/**
 * Keys of devices: P-256, and the id that a key gives its device (server/bradawl/common/device_keys.py).
 *
 * A device's id is the beginning of the SHA-256 of its public key, so nobody can take over an id or
 * continue a chain without the private key. That one cannot be exported and lies in IndexedDB.
 */

import { base64url, digest, fromBase64url, hex, utf8 } from "./encoding";

const CURVE = { name: "ECDSA", namedCurve: "P-256" };
const SIGNING = { name: "ECDSA", hash: "SHA-256" };
const POINT_BYTES = 65;
const SIGNATURE_BYTES = 64;

/** A device's own key. */
export interface DeviceKey {
  /** Its id, 32 hex characters. */
  device: string;
  /** The public key's uncompressed point, base64url. */
  key: string;
  private: CryptoKey;
}

export async function createKey(): Promise<DeviceKey> {
  const pair = await crypto.subtle.generateKey(CURVE, false, ["sign", "verify"]);
  const point = new Uint8Array(await crypto.subtle.exportKey("raw", pair.publicKey));
  return { device: await idOfPoint(point), key: base64url(point), private: pair.privateKey };
}

async function idOfPoint(point: BufferSource): Promise<string> {
  return hex((await digest(point)).subarray(0, 16));
}

/** The id of the device with this public key; null for what is no key. */
export async function deviceOf(key: string): Promise<string | null> {
  const point = fromBase64url(key, POINT_BYTES);
  return point === null || (await publicKey(key)) === null ? null : idOfPoint(point);
}

async function publicKey(key: string): Promise<CryptoKey | null> {
  const point = fromBase64url(key, POINT_BYTES);
  if (point === null) return null;
  // not on the curve: refused by the browser with a DataError
  return crypto.subtle.importKey("raw", point, CURVE, false, ["verify"]).catch(() => null);
}

/** A signature over `text`: r and s, base64url. */
export async function sign(own: DeviceKey, text: string): Promise<string> {
  return base64url(new Uint8Array(await crypto.subtle.sign(SIGNING, own.private, utf8(text))));
}

/** Whether `signature` over `text` was made with the private half of `key`. */
export async function verifies(key: string, text: string, signature: string): Promise<boolean> {
  const raw = fromBase64url(signature, SIGNATURE_BYTES);
  const publicHalf = await publicKey(key);
  if (raw === null || publicHalf === null) return false;
  return crypto.subtle.verify(SIGNING, publicHalf, raw, utf8(text));
}

/** What a device signs of its chain: that event `seq` has the hash `head`. */
export function headText(device: string, seq: number, head: string): string {
  return `bradawl-head-2\n${device}\n${seq}\n${head}`;
}

/** What a device signs to be paired. */
export function pairText(device: string): string {
  return `bradawl-pair-2\n${device}`;
}

/** What a device signs under a seal; `digest` is that of the seal's text without its signature. */
export function sealText(device: string, scope: string, digest: string): string {
  return `bradawl-seal-2\n${device}\n${scope}\n${digest}`;
}
