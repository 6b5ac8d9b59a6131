/** What the shop built into its page (server/bradawl/serving/check_page.py writes it). */

export type Standing = "own" | "met" | "replaced" | "lost";

/** A signer whom the shop knows: SHA-256 of the certificate in lower-case hex. */
export interface KnownSigner {
  fingerprint: string;
  name: string;
  standing: Standing;
  /** The day from which on a replaced or lost key signs nothing any more; "" for a key in use. */
  until: string;
}

export interface Letterhead {
  name: string;
  address: string;
  phone: string;
  web: string;
}

export interface Shop {
  letterhead: Letterhead;
  signers: KnownSigner[];
  /** The day on which the page was made. */
  made: string;
  locale: string;
  /** The hash of the judge that lies in the page. */
  judge: string;
  /** Letters that look like others, by what they look like. */
  confusables: Record<string, string>;
}

/** The text of one of the page's data blocks. */
function block(id: string): string {
  return document.getElementById(id)?.textContent ?? "";
}

export function readShop(): Shop {
  return JSON.parse(block("shop")) as Shop;
}

/** The catalogue's text, the reader's locale first. */
export function readWords(): [locale: string, source: string][] {
  return JSON.parse(block("words")) as [string, string][];
}

/** A packed block: gzip in base64. */
export async function unpacked(id: string): Promise<Uint8Array<ArrayBuffer>> {
  const plain = atob(block(id).trim());
  const packed = Uint8Array.from(plain, (letter) => letter.charCodeAt(0));
  const stream = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  return new Uint8Array(await new Response(stream).arrayBuffer());
}

export async function unpackedText(id: string): Promise<string> {
  return new TextDecoder().decode(await unpacked(id));
}
