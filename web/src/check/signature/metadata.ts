/** What a file's metadata say (XMP part 1), in whatever form a program that signs wrote them anew. */

const MOST_BYTES = 100_000;
/** What programs that sign note about themselves (XMP part 1, 8.3 and 8.4). */
const OWN = [
  "http://ns.adobe.com/pdf/1.3/Producer",
  "http://ns.adobe.com/xap/1.0/ModifyDate",
  "http://ns.adobe.com/xap/1.0/MetadataDate",
  "http://ns.adobe.com/xap/1.0/mm/InstanceID",
  "adobe:ns:meta/xmptk",
];
const RDF = "http://www.w3.org/1999/02/22-rdf-syntax-ns#";
const WRAPPERS = [RDF, "adobe:ns:meta/"];
/** How a statement is written, and no part of what it says. */
const GRAMMAR = [
  `${RDF}about`,
  `${RDF}parseType`,
  "http://www.w3.org/XML/1998/namespacelang",
  "http://www.w3.org/2000/xmlns/",
];

/** Every statement as "name value", in order within its name; null for what is no metadata. */
export function statements(xmp: Uint8Array): string | null {
  const text = new TextDecoder().decode(xmp);
  // a document type could define entities
  if (xmp.length > MOST_BYTES || text.includes("<!")) return null;
  const document = new DOMParser().parseFromString(text, "application/xml");
  if (document.getElementsByTagName("parsererror").length > 0) return null;
  const said = new Map<string, string[]>();
  const note = (name: string, value: string | null) => {
    const written = value?.trim() ?? "";
    if (written !== "" && !OWN.includes(name)) {
      said.set(name, [...(said.get(name) ?? []), written]);
    }
  };
  const waiting: [Element, string][] = [[document.documentElement, ""]];
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    const [element, owner] = next;
    const space = element.namespaceURI ?? "";
    const name = WRAPPERS.includes(space) ? owner : space + element.localName;
    for (const { namespaceURI, localName, value } of element.attributes) {
      const key = (namespaceURI ?? "") + localName;
      if (GRAMMAR.includes(key) || namespaceURI === GRAMMAR[3]) continue;
      note(key === `${RDF}resource` ? name : key, value);
    }
    for (const node of element.childNodes) {
      if (node.nodeType === Node.TEXT_NODE) note(name, node.nodeValue);
    }
    waiting.push(...[...element.children].reverse().map((one): [Element, string] => [one, name]));
  }
  return JSON.stringify([...said].sort(([one], [other]) => (one < other ? -1 : 1)));
}
