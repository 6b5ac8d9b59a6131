"""What a form may hold beside its signature fields (ISO 32000-1, table 218)."""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.report.checking.inventory import foreign_problems
from bradawl.report.checking.revisions import Document, Revision

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
