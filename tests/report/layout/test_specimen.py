"""The specimen holds what a page can be made of, so that nobody changes one unseen."""

from __future__ import annotations

import inspect
from pathlib import Path

from reportlab.platypus import Flowable

from bradawl.report.layout import flowables, graded
from tests.report import specimen
from tests.report.tools import flowing, run

from bradawl.report.layout.drawing import charts  # isort: skip (fonts come first)


def test_the_specimen_shows_every_style_mark_chart_and_flowable(tmp_path: Path) -> None:
    out = tmp_path / "specimen.pdf"
    assert specimen.write(out) >= 2
    text = flowing(out)
    for style in specimen.styles():
        assert f"{style}: " in text
    for word in ("OK", "Minor", "Needs fixing", "Unsafe", "Not checked"):
        assert text.count(word) >= 2  # in the summary and at a heading
    for word in ("Open · ", "Fixed · ", "Look here · ", "rust spot", "no steel found"):
        assert word in text
    assert "no emb" not in run("pdffonts", out)
    source = inspect.getsource(specimen)
    made = [
        name
        for module in (flowables, graded)
        for name in module.__all__
        if inspect.isclass(kind := getattr(module, name)) and issubclass(kind, Flowable)
    ]
    # what keeps others in place, and what stands in the cell of a table alone
    for name in {*made, *charts.__all__} - {"Anchor", "KeptTogether", "GradeMark"}:
        assert f".{name}(" in source, name
