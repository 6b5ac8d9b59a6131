"""How a report is printed: its language, its units and its paper, chosen when it is made.

Whatever the visit was recorded in; what people wrote stays as they wrote it. The law that counts
is the visit's (`about/region`), whoever reads the report.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from bradawl import language
from bradawl.judge.values import units
from bradawl.language import catalogue, message
from bradawl.language.reader import REGION_PAPER

__all__ = ["PAPERS", "UNITS", "Printing", "PrintingError"]

#: A choice of units by the region whose trade measures so.
UNITS = {system: region for region, system in units.SYSTEM_OF_REGION.items()}
PAPERS = tuple(REGION_PAPER.values())


class PrintingError(ValueError):
    """A choice that is not offered; its text is the sentence for who chose."""


@dataclass(frozen=True)
class Printing:
    """A locale of the catalogue, one of `UNITS` ("us", "metric") and one of `PAPERS`."""

    locale: str
    units: str
    paper: str

    @classmethod
    def of(cls, locale: str = "", units: str = "", paper: str = "") -> Printing:
        """The choice with the shop's usual for what is "". Raises PrintingError."""
        here = language.current()
        usual = next(system for system, region in UNITS.items() if region == here.region)
        chosen = cls(locale or catalogue.DEFAULT, units or usual, paper or here.paper)
        if (
            chosen.locale not in (*language.locales(), catalogue.PSEUDO)
            or chosen.units not in UNITS
            or chosen.paper not in PAPERS
        ):
            raise PrintingError(message("report-make-refused"))
        return chosen

    @property
    def reader(self) -> language.Reader:
        """Whom the report is for."""
        return replace(language.current(), locale=self.locale, region=UNITS[self.units], units={})
