"""Chinese, Japanese and Korean: printed where Debian's fonts are, named where they are not.

Words are read from the file by poppler, and seen by where it says that each word stands.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pikepdf
import pytest

from bradawl.admin.doctor import _say_missing_fonts
from bradawl.report.issue import write_report
from bradawl.report.pdf import faces
from bradawl.report.printer import printer
from tests.report.tools import flowing
from tests.report.visits import TODAY, puts, snapshot

NOTES = {
    "ja": "右後フェンダーの内側に錆が進んでいます。",
    "zh": "左后翼子板内侧锈蚀严重，刹车油发黑。",
    "ko": "왼쪽 뒤 펜더 안쪽에 녹이 심합니다.",
}


@pytest.fixture
def without(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """A machine on which nobody installed them."""
    gone = {
        name: face._replace(file=tmp_path / "none.ttf") for name, face in faces._INSTALLED.items()
    }
    monkeypatch.setattr(faces, "_INSTALLED", gone)
    _forget()
    yield
    monkeypatch.undo()
    _forget()


def _forget() -> None:
    faces._coverage.cache_clear()
    faces._face.cache_clear()


def report(tmp_path: Path, note: str) -> tuple[Path, str]:
    """A report with a note, and what was said of it."""
    file = tmp_path / "report.pdf"
    visit = snapshot([*puts(), ("items/rust.sill-left/note", note)])
    issued = write_report(visit, file, "partner", None, today=TODAY)
    return file, " ".join(map(str, issued.notes))


@pytest.mark.parametrize("language", NOTES)
def test_a_note_is_printed_and_read_as_it_was_typed(tmp_path: Path, language: str) -> None:
    assert faces.not_installed() == [], "bash .ci/system installs the fonts that this test needs"
    file, said = report(tmp_path, NOTES[language])
    assert said == ""
    assert "".join(NOTES[language].split()) in "".join(flowing(file).split())
    with pikepdf.open(file) as pdf:
        fonts = {
            str(font.BaseFont)
            for page in pdf.pages
            for font in page.obj.Resources.Font.values()
        }  # fmt: skip
        own = "NanumGothic" if language == "ko" else "DroidSansFallbackFull"
        assert any(name.endswith(f"SHAP+{own}") for name in fonts)


def test_where_they_are_not_the_report_and_the_doctor_say_so(
    tmp_path: Path, without: None, capsys: pytest.CaptureFixture[str]
) -> None:
    note = "漢字"  # not set before: what was is remembered
    file, said = report(tmp_path, note)
    assert "No font here has some of the letters" in said
    assert "Chinese, Japanese, or Korean" in said
    assert note in flowing(file)
    _say_missing_fonts()
    told = capsys.readouterr().out
    for words in ("Chinese and Japanese", "fonts-droid-fallback", "Korean", "fonts-nanum"):
        assert words in told, words


def test_the_doctor_has_nothing_to_say_where_they_are(capsys: pytest.CaptureFixture[str]) -> None:
    _say_missing_fonts()
    assert capsys.readouterr().out == ""


def test_pages_of_another_machines_fonts_are_not_compared(request: pytest.FixtureRequest) -> None:
    """Another name of the printer is said to be one; other pages would be called forged."""
    here, plain = printer(NOTES["zh"]), printer("Nothing of the kind: ä, א.")
    assert here != plain
    request.getfixturevalue("without")
    assert printer(NOTES["zh"]) == plain == printer("Nothing of the kind: ä, א.")
