/** What the issuer signed: the attached record and manifest, and the pages that they belong to. */

import { sha256 } from "../../store/encoding";
import type { PdfDocument } from "../pdf/file";
import { demand, isSame, PdfString, Stream } from "../pdf/values";

export const RECORD = "record.json";
export const MANIFEST = "manifest.json";

export interface Parts {
  files: Map<string, Uint8Array<ArrayBuffer>>;
  /** Whether two of them have one name. */
  isTwice: boolean;
  /** The digest of each page's content. */
  pages: string[];
}

/** The parts of a document as its issuer signed it. Throws PdfError. */
export async function partsOf(issued: PdfDocument): Promise<Parts> {
  const files = new Map<string, Uint8Array<ArrayBuffer>>();
  let isTwice = false;
  const listed = issued.root.has("AF") ? issued.array(issued.root.get("AF")) : [];
  for (const entry of listed) {
    const specification = issued.dictionary(entry);
    const name = specification.get("UF");
    demand(name instanceof PdfString, "name");
    const written = plain(name);
    isTwice ||= files.has(written);
    const contents = issued.dictionary(specification.get("EF"));
    const content = contents.get("F");
    // some readers open the one, some the other
    demand(!contents.has("UF") || isSame(contents.get("UF"), content), "two-contents");
    files.set(written, await issued.decoded(issued.stream(content)));
  }
  const pages: string[] = [];
  for (const page of issued.pages()) {
    const content = issued.resolved(page.get("Contents"));
    demand(content instanceof Stream, "page");
    pages.push(await sha256(issued.encoded(content)));
  }
  return { files, isTwice, pages };
}

/** A file's name: ASCII, or UTF-16 with its mark (ISO 32000-1, 7.9.2.2). */
function plain({ bytes }: PdfString): string {
  const isWide = bytes[0] === 0xfe && bytes[1] === 0xff;
  return new TextDecoder(isWide ? "utf-16be" : "latin1").decode(bytes);
}
