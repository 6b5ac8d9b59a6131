"""Blank papers of a sale, letter size: a bill of sale and an odometer statement, no state's form.

What is known of the car stands on them; names, price and signatures are lines to write on. The
statement says what 49 CFR 580.5(c) and (e) want: the reading without tenths, the date, names and
addresses, the vehicle's identity, and actual, beyond the limit or not actual (read as a copy of
the 2002 edition). They are tagged like a report, and carry no record.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Literal

from bradawl.common.display_text import for_line
from bradawl.inspection import cell_values
from bradawl.inspection.said import distance_text
from bradawl.language import current, date, text
from bradawl.report.layout.text import typeface

if TYPE_CHECKING:
    from collections.abc import Iterable

    from bradawl.inspection.snapshot import Snapshot

__all__ = ["FORMS", "Form", "sale_form"]

Form = Literal["bill", "odometer"]
FORMS: tuple[Form, ...] = ("bill", "odometer")
_TITLES = {"bill": "leaving-bill-title", "odometer": "leaving-odometer-title"}
_MOST = 60  # letters of a fact
_VINS = 40


def sale_form(snapshot: Snapshot, form: Form, *, today: str, made: str) -> bytes:
    """The form as a PDF; `today` is YYYY-MM-DD, `made` an ISO 8601 time with zone."""
    from bradawl.report.layout.page_templates import ReportDocument
    from bradawl.report.layout.writing_lines import Form as Page
    from bradawl.report.pdf.archival import Description, write_tagged_file

    typeface.register()
    printable = typeface.PrintableText()
    title = text(_TITLES[form])
    out = io.BytesIO()
    document = ReportDocument(
        out, page="letter", title=title, foot=printable.text(text("leaving-check-form"))
    )
    page = Page(printable, document.text_width)
    page.title(title)
    page.caution(text("leaving-check-form"))
    cells = snapshot.cells
    if form == "bill":
        _bill(page, cells)
    else:
        _odometer(page, cells)
    document.lay_out(page.flowables)
    about = Description(
        title=title,
        author="",
        subject=text("leaving-form-printed", date=date(today, long=True)),
        made=made,
        language=current().locale,
    )
    out.seek(0)
    return write_tagged_file(out, about, document.structure, document.link_owners)


def _fact(cells: Mapping[str, Any], name: str, most: int = _MOST) -> str:
    return for_line(cell_values.words(cell_values.value(cells, f"car/{name}")), most)


def _car(page: Any, cells: Mapping[str, Any]) -> None:
    """What identifies the vehicle: make, model, year, body type and VIN (49 CFR 580.5(c)(5))."""
    page.heading(text("leaving-form-car"))
    page.row(
        [
            (text("leaving-form-year"), _fact(cells, "year")),
            (text("leaving-form-make"), _fact(cells, "make")),
            (text("leaving-form-model"), _fact(cells, "model")),
        ]
    )
    page.row(
        [
            (text("leaving-form-vin"), _fact(cells, "vin", _VINS)),
            (text("leaving-form-body"), ""),
        ]
    )


def _people(page: Any, who: Iterable[str]) -> None:
    """For each of them: printed name, address, signature and date."""
    for name in who:
        page.heading(text(f"leaving-form-{name}"))
        page.row([(text("leaving-form-name"), ""), (text("leaving-form-date"), "")])
        page.row([(text("leaving-form-address"), "")])
        page.row([(text("leaving-form-signature"), "")])


def _bill(page: Any, cells: Mapping[str, Any]) -> None:
    _car(page, cells)
    reading = cell_values.value(cells, "car/odometer")
    known = for_line(distance_text(reading), _MOST) if reading else ""
    page.row(
        [
            (text("leaving-form-odometer"), known),
            (text("leaving-form-price"), ""),
            (text("leaving-form-date"), ""),
        ]
    )
    page.words(text("leaving-bill-as-is"))
    page.row([(text("leaving-form-defects"), "")])
    page.row([("", "")])
    _people(page, ("seller", "buyer"))
    page.small(text("leaving-form-two"))


def _odometer(page: Any, cells: Mapping[str, Any]) -> None:
    _car(page, cells)
    page.words(text("leaving-form-states"))
    # a reading that somebody took earlier is not the one at the transfer: the line stays blank
    page.row([(text("leaving-form-reads"), ""), (text("leaving-form-transfer"), "")])
    for name in ("actual", "beyond", "not-actual"):
        page.box(text(f"leaving-form-{name}"))
    page.words(text("leaving-odometer-law"))
    _people(page, ("seller", "buyer"))
    page.small(text("leaving-form-by-hand"))
