"""What a file's metadata say (XMP part 1), in whatever form a program that signs wrote them anew.

The twin of web/src/check/signature/metadata.ts; tests/report/checking/metadata_vectors.json holds
both to the same.
"""

from __future__ import annotations

import re
from xml.etree import ElementTree

from bradawl.report.checking.pdf_syntax import SyntaxFault

__all__ = ["statements"]

_MOST_BYTES = 100_000
#: What programs that sign note about themselves (XMP part 1, 8.3 and 8.4).
_OWN = (
    "{http://ns.adobe.com/pdf/1.3/}Producer",
    "{http://ns.adobe.com/xap/1.0/}ModifyDate",
    "{http://ns.adobe.com/xap/1.0/}MetadataDate",
    "{http://ns.adobe.com/xap/1.0/mm/}InstanceID",
    "{adobe:ns:meta/}xmptk",
)
_RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"
_WRAPPERS = (_RDF, "{adobe:ns:meta/}")
#: How a statement is written, and no part of what it says.
_GRAMMAR = (f"{_RDF}about", f"{_RDF}parseType", "{http://www.w3.org/XML/1998/namespace}lang")
_OTHER_ENCODING = re.compile(
    r"""\s*<\?xml\s[^?]*encoding\s*=\s*["'](?!utf-8["'])""", re.IGNORECASE | re.ASCII
)
_BLANKS = " \t\r\n"  # of XML; Python's own are others


def statements(xmp: bytes) -> dict[str, tuple[str, ...]]:
    """What metadata says, by name, whether as attribute or element.

    RDF lets a program write the same statements in more forms than one (XMP part 1, 7.9.2). A
    document type could define entities: none is taken. Raises SyntaxFault, ParseError or
    UnicodeDecodeError for what it may not be.
    """
    text = xmp.decode("utf-8").removeprefix("\ufeff")
    if len(xmp) > _MOST_BYTES or "<!" in text or _OTHER_ENCODING.match(text):
        raise SyntaxFault("metadata that is none")
    said: dict[str, tuple[str, ...]] = {}

    def note(name: str, value: str | None) -> None:
        written = (value or "").strip(_BLANKS)
        if written and name not in _OWN:
            said[name] = (*said.get(name, ()), written)

    builder = ElementTree.TreeBuilder(insert_pis=True)
    root = ElementTree.fromstring(text, ElementTree.XMLParser(target=builder))
    # in the order of the file: an element with the name above it, or a text
    waiting: list[tuple[ElementTree.Element | str | None, str]] = [(root, "")]
    while waiting:
        one, owner = waiting.pop()
        if one is None or isinstance(one, str):
            note(owner, one)
            continue
        if not isinstance(one.tag, str):  # it would cut a text in two
            raise SyntaxFault("an instruction in metadata")
        name = owner if one.tag.startswith(_WRAPPERS) else one.tag
        for key, value in one.attrib.items():
            if key not in _GRAMMAR:
                note(name if key == f"{_RDF}resource" else key, value)
        for child in reversed(one):
            waiting += [(child.tail, name), (child, name)]
        waiting.append((one.text, name))
    return said
