"""Metadata written anew by a program that signs: the same statements in another form, no others.

Forms: XMP specification part 1 (ISO 16684-1), 7.9.2: a simple property as element or attribute. The
check page's reader has the same cases (check_page/test_metadata.py).
"""

from __future__ import annotations

from xml.etree.ElementTree import ParseError

import pytest

from bradawl.report.checking.metadata import statements
from bradawl.report.checking.pdf_syntax import SyntaxFault
from tests.report.checking.metadata_vectors import CASES, ISSUED, Case


def said(xmp: bytes) -> dict[str, tuple[str, ...]] | None:
    """What metadata say; None for what is refused."""
    try:
        return statements(xmp)
    except (SyntaxFault, ParseError, UnicodeDecodeError):
        return None


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_same_said_in_another_form_is_the_same_and_nothing_else_is(case: Case) -> None:
    assert (said(case.xmp) == statements(ISSUED)) == case.is_same


def test_the_names_of_what_is_said_are_those_of_their_namespaces() -> None:
    assert statements(ISSUED) == {
        "{http://purl.org/dc/elements/1.1/}title": ("A & B",),
        "{http://purl.org/dc/elements/1.1/}creator": ("One", "Two"),
        "{http://purl.org/dc/elements/1.1/}source": ("S",),
        "{http://ns.adobe.com/xap/1.0/}CreateDate": ("2026-11-30T00:00:00Z",),
    }
