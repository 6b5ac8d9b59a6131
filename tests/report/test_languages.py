"""Reports in other languages, units and papers than the visit was made in.

Words are read from the PDF by poppler; every letter of the pseudo-locale carries a mark, so an
unmarked word did not come from the catalogue.
"""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, Literal

import pikepdf
import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from bradawl import cli, language
from bradawl.common.errors import install_plain
from bradawl.language import catalogue, language_name
from bradawl.report.checking.verification import verify
from bradawl.report.issue import write_report
from bradawl.report.layout.text import typeface
from bradawl.report.printing import Printing
from bradawl.report.signing.keys import Signer
from bradawl.report.signing.trust import ledger_in
from bradawl.serving import report_api
from tests.report.full_visit import full_visit
from tests.report.layout.test_pages import page_words
from tests.report.tools import flowing, words
from tests.report.visits import TODAY, puts, snapshot

typeface.register()

from bradawl.report.sections import appendix, front_pictures, summary  # noqa: E402

NOTE = "Soft over a hand’s width; the probe goes in 12 mm."


def made(tmp_path: Path, signer: Signer | None = None, visit: Any = None, **how: str) -> Path:
    file = tmp_path / "report.pdf"
    printing = Printing.of(**how)
    write_report(visit or snapshot(), file, "condition", signer, today=TODAY, printing=printing)
    return file


def test_the_first_page_and_the_cautions_in_spanish(tmp_path: Path, shop: Signer) -> None:
    file = made(tmp_path, shop, locale="es-US")
    first = page_words(file, 1)
    for said in (
        "Informe de estado 20261125-",
        "25 de noviembre de 2026",
        "Lo revisó Ada Fernack",
        "VIN sin anotar",
        "101,843 mi (leído: 163,900 km)",
        "Uso diario y Viajes largos",
        "Llévelo en remolque. Peligroso: ",
        "La ley del estado y la local deciden si el carro puede circular",
        "Peligroso: 1",
        "Por arreglar: 2",
        "Leve: 2.",
        "Se hicieron 7 de 9 revisiones; según para qué es el carro, eso es 83%.",
        "Sin revisar: Brake hoses (could not get underneath)",
        "página 1 de ",
    ):
        assert said in first, said
    text = flowing(file)
    assert "No es la inspección del estado ni la reemplaza." in text
    assert NOTE in text  # as it was written
    with pikepdf.open(file) as pdf:
        assert str(pdf.Root.Lang) == "es-US"
        assert "<rdf:li>es-US</rdf:li>" in pdf.Root.Metadata.read_bytes().decode()
        assert str(pdf.docinfo["/Title"]) == "Informe de estado: 1989 Corvane Tilda 16"
        manifest = json.loads(pdf.attachments["manifest.json"].get_file().read_bytes())
    assert (manifest["language"], manifest["units"], manifest["paper"]) == (
        "es-US", "us", "letter",
    )  # fmt: skip


#: What the first page says by itself; the checklist's own texts have locales of their own.
FIRST_PAGE = ((summary, "first_page"), (front_pictures, "pictures"), (appendix, "cautions"))


@pytest.mark.parametrize("edition", ["condition", "repaired"])
def test_no_sentence_of_the_first_page_or_the_cautions_is_left_in_english(
    edition: Literal["condition", "repaired"], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    english: set[str] = set()
    find = catalogue.find

    def noted(message_id: str, locale: str, arguments: dict[str, Any]) -> str:
        # a figure with its unit, and a range, are written alike in both
        if not catalogue.has(message_id, "es-US") and not message_id.startswith("unit-"):
            english.add(message_id)
        return find(message_id, locale, arguments)

    def watched(make: Callable[[Any], list[Any]]) -> Callable[[Any], list[Any]]:
        def made_and_noted(page: Any) -> list[Any]:
            with monkeypatch.context() as patch:
                patch.setattr(catalogue, "find", noted)
                return make(page)

        return made_and_noted

    for module, name in FIRST_PAGE:
        monkeypatch.setattr(module, name, watched(getattr(module, name)))
    for number, visit in enumerate((full_visit(), snapshot())):
        printing = Printing.of(locale="es-US")
        file = tmp_path / f"{number}.pdf"
        write_report(visit, file, edition, None, today=TODAY, printing=printing)
    assert english == set()


def test_the_checklists_cautions_are_in_spanish_too(tmp_path: Path) -> None:
    text = flowing(made(tmp_path, visit=full_visit(), locale="es-US"))
    cautions = text.partition("Precauciones y alcance")[2]
    for title in ("Frenos.", "Combustible."):
        assert title in cautions, title


def test_language_units_and_paper_are_chosen_apart(tmp_path: Path) -> None:
    metric = made(tmp_path, locale="es-US", units="metric", paper="a4")
    assert "163,900 km" in page_words(metric, 1)
    text = flowing(metric)
    assert "delantero izquierdo: 0.6 mm; delantero derecho: 2.8 mm" in text
    # 1/32 in = 0.79375 mm (international yard, 1959); the law's own figure stands beside it
    assert "below 0.79 mm (1/32 in)" in text
    with pikepdf.open(metric) as pdf:
        # ISO 216 A4 in points
        assert float(pdf.pages[0].mediabox[2]) == pytest.approx(595.28, abs=0.01)


def test_a_report_in_another_language_is_the_same_report(tmp_path: Path, shop: Signer) -> None:
    ledger = ledger_in(tmp_path)
    numbers = [
        write_report(
            snapshot([*puts(), ("items/rust.sill-left/note", "He asks $1,200 for it.")]),
            tmp_path / "x.pdf", "condition", shop, today=TODAY, ledger=ledger,
            printing=Printing.of(locale, units),
        ).number
        for locale, units in (("en-US", "us"), ("es-US", "metric"))
    ]  # fmt: skip
    assert numbers[0] == numbers[1]
    assert [entry.replaces for entry in ledger.entries()] == [""]
    text = words(tmp_path / "x.pdf")
    assert "Left out of this copy" in text
    assert verify((tmp_path / "x.pdf").read_bytes()).unchanged


def test_a_check_is_said_in_the_language_of_who_asks(condition: Path) -> None:
    with language.reading_as(language.Reader(catalogue.PSEUDO)):
        lines = verify(condition.read_bytes()).lines
    assert "čĥáńğéď" in lines[0]


@pytest.fixture
def toy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[str]:
    """A locale of three messages, added as a folder alone."""
    folder = tmp_path / "locales"
    shutil.copytree(catalogue.FOLDER / catalogue.DEFAULT, folder / catalogue.DEFAULT)
    (folder / "de-DE").mkdir()
    (folder / "de-DE/report.ftl").write_text(
        "report-drive-home = Der Heimweg\n"
        "report-fact-odometer = Kilometerstand\n"
        "report-coverage-plain = { $seen } von { $total } geprüft.\n",
        encoding="utf-8",
    )
    monkeypatch.setattr(catalogue, "FOLDER", folder)
    _forget()
    yield "de-DE"
    monkeypatch.undo()
    _forget()


def _forget() -> None:
    for kept in (catalogue.locales, catalogue.ids, catalogue._bundle):
        kept.cache_clear()


def test_a_locale_is_added_without_code(toy: str, tmp_path: Path) -> None:
    assert toy in language.locales()
    assert language_name(toy) == "Deutsch (Deutschland)"
    visit = snapshot()
    plain = {**visit.assessment["coverage"], "share_percent": None}
    visit = replace(visit, assessment={**visit.assessment, "coverage": plain})
    text = words(made(tmp_path, visit=visit, locale=toy, units="metric"))
    assert "Kilometerstand 163.900 km" in text
    assert "7 von 9 geprüft." in text
    assert "25. November 2026" in text
    assert "What it's for" in text  # what is missing is read in English


CAUSE = {"cause": ["pulls", "hose"], "titles": ["Pulls to one side", "Hose collapsed"]}
NAMED = {"symptoms/pulls/causes/hose": {"Hose collapsed": "Manguera cerrada"}}


def spanish_report(tmp_path: Path) -> tuple[Path, dict[str, list[str]]]:
    """A report in Spanish on a visit with a cause found at the desk, and its texts by language:
    of each element its `Lang`, the file's where it has none, but for parts with one of their own.
    """
    why = ("items/brakes.front-linings/why", {**CAUSE, "tenths": 874, "tests": 2})
    visit = snapshot(amendments=[why])
    cautions = {"cautions/jacking/text": "Nunca se meta debajo."}
    visit = replace(
        visit,
        bundle={**visit.bundle, "locales": {"es-US": cautions}},
        today=lambda: {"recorded": {"es-US": NAMED}},
    )
    file = made(tmp_path, visit=visit, locale="es-US")
    return file, by_language(file)


def by_language(file: Path) -> dict[str, list[str]]:
    """What poppler reads of each language, as its elements and their parts say it."""
    found: dict[str, list[str]] = {}
    with pikepdf.open(file) as pdf:
        found[str(pdf.Root.Lang)] = []
        waiting = [(pdf.Root.StructTreeRoot.K, str(pdf.Root.Lang))]
        languages: dict[tuple[int, int], str] = {}
        while waiting:
            element, language = waiting.pop()
            language = str(element.get("/Lang", language))
            parts = element.get("/K") if "/K" in element else pikepdf.Array()
            for part in parts if isinstance(parts, pikepdf.Array) else [parts]:
                if isinstance(part, int):
                    languages[element.Pg.objgen[0], part] = language
                elif part.get("/Type") == "/MCR":
                    languages[part.Pg.objgen[0], int(part.MCID)] = language
                elif "/S" in part:
                    waiting.append((part, language))
        for page in pdf.pages:
            within: list[str] = []
            for operands, operator in pikepdf.parse_content_stream(page):
                if str(operator) == "BDC":
                    marked = operands[1]
                    own = languages.get((page.obj.objgen[0], int(marked.get("/MCID", -1))))
                    within.append(own or str(marked.get("/Lang", within[-1] if within else "")))
                elif str(operator) == "BMC":
                    within.append("")
                elif str(operator) == "EMC":
                    within.pop()
                elif str(operator) == "Tj" and within and within[-1]:
                    found.setdefault(within[-1], []).append(bytes(operands[0]).decode("latin-1"))
    return found


def test_what_is_not_in_the_reports_language_says_in_which_it_is(tmp_path: Path) -> None:
    """ISO 32000-1, 14.9.2: the language of an element, or of a part of it."""
    file, texts = spanish_report(tmp_path)
    assert set(texts) == {"es-US", "en-US"}
    spanish, english = (re.sub(" +", " ", "".join(texts[one])) for one in ("es-US", "en-US"))
    # a cause recorded by id is in the reader's language, the symptom has no translation
    assert "Manguera cerrada" in flowing(file)
    assert "Manguera cerrada" in spanish
    assert "Pulls to one side [en]" in flowing(file)
    for said in ("Pulls to one side", "Brake hoses"):  # of a checklist nobody translated
        assert said in english, said
        assert said not in spanish, said
    for said in ("Llévelo en remolque", "Nunca se meta debajo"):
        assert said.encode("cp1252").decode("latin-1") in spanish or said in flowing(file)
        assert said not in english


def test_a_report_in_english_names_no_other_language(tmp_path: Path) -> None:
    assert set(by_language(made(tmp_path))) == {"en-US"}


def test_a_language_is_called_by_its_own_name() -> None:
    # CLDR's own names
    assert language_name("es-US") == "español (Estados Unidos)"
    assert language_name("en-US") == "English (United States)"
    assert re.fullmatch(r"\S+", language_name("xx-unknown"))


def test_the_command_says_what_it_does_not_offer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path))
    command = ["report", "a", "-o", str(tmp_path / "x.pdf")]
    for refused in (["--language", "tlh"], ["--units", "cubits"], ["--paper", "a3"]):
        assert cli.main([*command, *refused]) == 2
        assert "from those offered" in capsys.readouterr().err


def test_the_address_of_a_report_takes_language_units_and_paper() -> None:
    asked: list[Printing] = []

    def write(_snapshot: Any, out: Path, _edition: str, printing: Printing) -> None:
        asked.append(printing)
        out.write_bytes(b"%PDF-1.7")

    app = FastAPI()
    install_plain(app)
    app.include_router(report_api.router(lambda _visit: snapshot(), write, lambda: None))
    client = TestClient(app)
    place = "/desk/visits/x/report.pdf"
    assert client.get(place).headers["content-disposition"].endswith('2026-11-25-report.pdf"')
    spanish = client.get(f"{place}?language=es-US&units=metric&paper=a4")
    assert spanish.headers["content-disposition"].endswith('2026-11-25-informe.pdf"')
    assert asked == [
        Printing("en-US", "us", "letter"),
        Printing("es-US", "metric", "a4"),
    ]
    assert client.get(f"{place}?language=tlh").status_code == 422


def test_what_was_declared_stands_in_the_readers_language_and_says_in_which_it_was_read(
    tmp_path: Path, shop: Signer
) -> None:
    out = tmp_path / "report.pdf"
    write_report(snapshot(), out, "condition", shop, today=TODAY)
    assert "What stands here is what I saw and measured." in words(out)
    spanish = Printing.of(locale="es-US")
    write_report(snapshot(), out, "condition", shop, today=TODAY, printing=spanish)
    said = words(out)
    assert "Lo que consta aquí es lo que vi y medí." in said
    assert "English (United States)" in said
