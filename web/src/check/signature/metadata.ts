/**
 * What a file's metadata say (XMP part 1), in whatever form a program that signs wrote them anew.
 * The twin of server/bradawl/report/checking/metadata.py; tests/report/checking/metadata_vectors.json
 * holds both to the same.
 */

const MOST_BYTES = 100_000;
/** What programs that sign note about themselves (XMP part 1, 8.3 and 8.4). */
const OWN = [
  "{http://ns.adobe.com/pdf/1.3/}Producer",
  "{http://ns.adobe.com/xap/1.0/}ModifyDate",
  "{http://ns.adobe.com/xap/1.0/}MetadataDate",
  "{http://ns.adobe.com/xap/1.0/mm/}InstanceID",
  "{adobe:ns:meta/}xmptk",
];
const RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#";
const WRAPPERS = [RDF, "adobe:ns:meta/"];
/** How a statement is written, and no part of what it says. */
const GRAMMAR = [
  `{${RDF}}about`,
  `{${RDF}}parseType`,
  "{http://www.w3.org/XML/1998/namespace}lang",
];
const PREFIXES = "http://www.w3.org/2000/xmlns/";
const OTHER_ENCODING = /^[ \t\r\n]*<\?xml\s[^?]*encoding\s*=\s*["'](?!utf-8["'])/i;
/** Those of XML; a browser's own are others. */
const BLANKS = /^[ \t\r\n]+|[ \t\r\n]+$/g;

/** Every statement as "name value", in order within its name; null for what is no metadata. */
export function statements(xmp: Uint8Array): string | null {
  const root = rootOf(xmp);
  if (root === null) return null;
  const said = new Map<string, string[]>();
  const note = (name: string, value: string) => {
    const written = value.replace(BLANKS, "");
    if (written !== "" && !OWN.includes(name)) {
      said.set(name, [...(said.get(name) ?? []), written]);
    }
  };
  // in the order of the file: an element with the name above it, or a text
  const waiting: [Node, string][] = [[root, ""]];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    const [node, owner] = next;
    if (!(node instanceof Element)) {
      // it would cut a text in two
      if (node.nodeType !== Node.TEXT_NODE) return null;
      note(owner, node.nodeValue ?? "");
      continue;
    }
    const name = WRAPPERS.includes(node.namespaceURI ?? "") ? owner : nameOf(node);
    for (const attribute of node.attributes) {
      const key = nameOf(attribute);
      if (GRAMMAR.includes(key) || attribute.namespaceURI === PREFIXES) continue;
      note(key === `{${RDF}}resource` ? name : key, attribute.value);
    }
    waiting.push(...[...node.childNodes].reverse().map((one): [Node, string] => [one, name]));
  }
  return JSON.stringify([...said].sort(([one], [other]) => (one < other ? -1 : 1)));
}

/** A name in its namespace, so that no other namespace can make up the same letters. */
function nameOf({ namespaceURI, localName }: Element | Attr): string {
  return namespaceURI === null ? localName : `{${namespaceURI}}${localName}`;
}

function rootOf(xmp: Uint8Array): Element | null {
  let text: string;
  try {
    text = new TextDecoder("utf-8", { fatal: true }).decode(xmp);
  } catch {
    return null;
  }
  // a document type could define entities
  if (xmp.length > MOST_BYTES || text.includes("<!") || OTHER_ENCODING.test(text)) return null;
  const document = new DOMParser().parseFromString(text, "application/xml");
  if (document.getElementsByTagName("parsererror").length > 0) return null;
  document.normalize();
  return document.documentElement;
}
