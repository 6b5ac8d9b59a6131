"""Metadata written anew by a program that signs: the same statements in another form, no others.

Forms: XMP specification part 1 (ISO 16684-1), 7.9.2: a simple property as element or attribute.
"""

from __future__ import annotations

import pytest

from bradawl.report.checking.additions import _metadata

XMP = (
    '<x:xmpmeta xmlns:x="adobe:ns:meta/" x:xmptk="one"><rdf:RDF '
    'xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#"><rdf:Description rdf:about="" '
    'xmlns:dc="http://purl.org/dc/elements/1.1/" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" '
    'xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:q="urn:q"%s</rdf:RDF></x:xmpmeta>'
)
END = "</rdf:Description>"
ISSUED = XMP % f"><dc:source>A</dc:source><pdf:Producer>Bradawl</pdf:Producer>{END}"


def said(xmp: str) -> dict[str, tuple[str, ...]]:
    return _metadata(xmp.encode())


@pytest.mark.parametrize(
    "written",
    [
        ' dc:source="A" pdf:Producer="Signer 2"/>',
        f"><dc:source>A</dc:source><xmp:ModifyDate>2026-11-30T00:00:00Z</xmp:ModifyDate>{END}",
    ],
)
def test_the_same_said_in_another_form_is_the_same(written: str) -> None:
    assert said(XMP % written) == said(ISSUED)


@pytest.mark.parametrize(
    "written",
    [
        f"><dc:source>B</dc:source>{END}",
        f"><dc:source>A</dc:source><dc:source>B</dc:source>{END}",
        f"><dc:source>A</dc:source>Sold as new{END}",
        f"><dc:source>A</dc:source><q:Producer>Sold as new</q:Producer>{END}",
        f"><dc:source>A</dc:source><q:ModifyDate>Sold as new</q:ModifyDate>{END}",
        f"><dc:source>A</dc:source><pdf:Producer><dc:rights>x</dc:rights></pdf:Producer>{END}",
        ' dc:source="A" q:InstanceID="Sold as new"/>',
    ],
)
def test_anything_else_that_is_said_is_a_change(written: str) -> None:
    assert said(XMP % written) != said(ISSUED)
