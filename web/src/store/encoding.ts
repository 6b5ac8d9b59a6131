/** Bytes as text, and hashes of them. */

/** SHA-256. */
export async function digest(bytes: BufferSource): Promise<Uint8Array> {
  return new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
}

export function utf8(text: string): Uint8Array<ArrayBuffer> {
  return new TextEncoder().encode(text);
}

/** Lower-case hex. */
export function hex(bytes: Uint8Array): string {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** SHA-256 in lower-case hex. */
export async function sha256(bytes: BufferSource): Promise<string> {
  return hex(await digest(bytes));
}

export function sha256OfText(text: string): Promise<string> {
  return sha256(utf8(text));
}

/** Base64url without padding. */
export function base64url(bytes: Uint8Array): string {
  const text = btoa(String.fromCharCode(...bytes));
  return text.replaceAll("+", "-").replaceAll("/", "_").replaceAll("=", "");
}

/** The bytes behind base64url without padding; null unless they are `size_bytes` many. */
export function fromBase64url(text: string, size_bytes: number): Uint8Array<ArrayBuffer> | null {
  if (!/^[A-Za-z0-9_-]*$/.test(text) || text.length !== Math.ceil((size_bytes * 4) / 3))
    return null;
  const plain = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
  const bytes = Uint8Array.from(plain, (letter) => letter.charCodeAt(0));
  // the last letter may carry loose bits: two texts would then mean the same
  return bytes.length === size_bytes && base64url(bytes) === text ? bytes : null;
}

/** 128 random bits as 32 lower-case hex characters. */
export function newId(): string {
  return hex(crypto.getRandomValues(new Uint8Array(16)));
}
