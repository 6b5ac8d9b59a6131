"""Every word of a report, of its pages and its commands comes from the catalogue.

In the pseudo-locale each letter of the catalogue is marked, and the record and the checklist are in
Greek letters: what is left in plain Latin letters was written somewhere else.
"""

from __future__ import annotations

import argparse
import re
from pathlib import Path
from typing import Any

import pytest

from bradawl import language
from bradawl.language import catalogue
from bradawl.report.issue import write_report
from bradawl.report.model.editions.edition import Edition
from bradawl.report.printing import Printing
from bradawl.report.signing.keys import Signer
from bradawl.serving import verify_commands
from bradawl.serving.reports.plan_for_report import workplan_of
from tests.report.full_visit import TODAY, full_visit
from tests.report.test_routes import Shop
from tests.report.tools import flowing
from tests.report.visits import VISIT

MARKED = language.Reader(catalogue.PSEUDO)
#: What stands in plain letters, and why.
PLAIN = {
    "Bradawl": "the program's name",
    "shop": "in the name of the shop's key, which it got when it was made",
    "English": "the language in which it was signed, in that language",
    "United": "its country",
    "States": "its country",
}


def strays(text: str) -> list[str]:
    """Words of two plain letters and more, without digests, codes (they have figures) and PLAIN."""
    digests = r"\b(?:[0-9A-Fa-f]{4,8}\b[ )]?){4,}|(?<=shop )[0-9a-f]{6}\b"
    words = re.sub(r"\S*\d\S*", " ", re.sub(digests, " ", text))
    return sorted(set(re.findall(r"[A-Za-z]{2,}", words)) - set(PLAIN))


@pytest.mark.parametrize(
    ("edition", "units"),
    [("condition", "us"), ("repaired", "metric"), ("partner", "us"), ("partner", "metric")],
)
def test_every_word_of_a_report_comes_from_the_catalogue(
    tmp_path: Path, shop: Signer, edition: Edition, units: str
) -> None:
    visit = full_visit(in_greek=True)
    printing = Printing.of(catalogue.PSEUDO, units)
    with language.reading_as(printing.reader):
        plan = workplan_of(visit) if edition == "partner" else None
    file = tmp_path / "report.pdf"
    devices = {event["device"]: "Αβγ" for event in visit.events}
    write_report(
        visit, file, edition, shop, today=TODAY, printing=printing, plan=plan, devices=devices
    )
    left = strays(flowing(file))
    assert left == [], " ".join(left)


def _main(page: str) -> str:
    """The words of a page's own part, those that are read out among them."""
    inside = page.partition("<main")[2].partition(">")[2].partition("</main>")[0]
    inside += page.partition("<title>")[2].partition("</title>")[0]
    read_out = re.findall(r'(?:aria-label|title|placeholder|alt)="([^"]*)"', inside)
    return " ".join([re.sub(r"<[^>]*>", " ", inside), *read_out])


def test_every_word_of_its_pages_comes_from_the_catalogue(tmp_path: Path) -> None:
    shop = Shop(tmp_path)
    with language.reading_as(MARKED):
        places = [
            f"/desk/visits/{VISIT}/report",
            shop.made(edition="condition"),
            "/desk/verify/sign",
        ]
        shop.breaks = True
        places.append(shop.made(edition="condition"))
        shown = [_main(shop.client.get(place).text) for place in places]
    shop.jobs.close()
    shop.client.close()
    # the car of the visit, languages by their own names, a file's name
    data = {"Corvane", "Tilda", "English", "United", "States", "español", "Estados", "Unidos"}
    for text in shown:
        assert set(strays(text)) <= data | {"car", "condition", "pdf", "espa", "ol"}
        assert re.search("[áéíóú]", text)


def test_every_word_of_its_commands_comes_from_the_catalogue(
    condition: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    parser = argparse.ArgumentParser(prog="x", add_help=False)
    with language.reading_as(MARKED):
        verify_commands.register(parser.add_subparsers())
        arguments: Any = parser.parse_args(["verify", str(condition)])
        arguments.run(arguments)
    said = capsys.readouterr().out
    assert set(strays(said)) <= {"Ada", "Fernack", "shop"}  # who signed
