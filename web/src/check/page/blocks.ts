/** The data blocks that the server wrote into the page (server/bradawl/serving/check_page.py). */

import type { Shop } from "../shop";

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
