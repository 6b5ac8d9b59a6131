"""What a form may hold beside its signature fields (ISO 32000-1, table 218)."""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.report.checking.inventory import foreign_problems
from bradawl.report.checking.pdf_syntax import SyntaxFault
from bradawl.report.checking.revisions import Document, Revision, revisions_of

#: What programs that sign write into a form, each of no effect without a field to type into.
FORM: dict[str, Any] = {
    "Fields": [],
    "SigFlags": 3,
    "DA": b"",
    "DR": {},
    "NeedAppearances": False,
}


def _said(form: dict[str, Any]) -> list[str]:
    root = {"AcroForm": form, "Pages": {"Type": "Pages", "Kids": [], "Count": 0}}
    document = Document(b"", [Revision(0, 0, {}, {"Root": root})])
    return [problem.id for problem in foreign_problems(document)]


def test_a_form_of_another_program_that_signs_is_none_to_fill_in() -> None:
    assert _said(FORM) == []


@pytest.mark.parametrize("more", [{"XFA": b"<xdp/>"}, {"CO": []}, {"NeedAppearances": True}])
def test_a_form_that_does_more_is_named(more: dict[str, Any]) -> None:
    assert _said(FORM | more) == ["report-verify-fields"]


@pytest.mark.parametrize("name", [b"/Linearized", b"/Linea#72ized"])
def test_a_file_whose_readers_may_begin_elsewhere_is_refused(name: bytes) -> None:
    """Of a linearized file the first object says so (ISO 32000-1, annex F.2.2), behind comments."""
    start = b"%PDF-1.7\n% 1 0 obj << >>\n"
    body = b"1 0 obj\n<< %s 1 >>\nendobj\n" % name
    rows = b"0000000000 65535 f \n%010d 00000 n \n" % len(start)
    table = b"xref\n0 2\n%strailer\n<< /Size 2 /Root 1 0 R >>\n" % rows
    end = b"startxref\n%d\n%%%%EOF\n" % len(start + body)
    with pytest.raises(SyntaxFault, match="table at its begin"):
        revisions_of(start + body + table + end)
    plain = body.replace(name, b"/" + b"A" * (len(name) - 1))
    assert len(revisions_of(start + plain + table + end)) == 1
