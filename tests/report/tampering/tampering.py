"""What a way to doctor a report is, and the verdict that each checker should come to."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from bradawl.report.checking.verification import Kind

__all__ = ["Tampering", "tampering"]

#: From the bytes of a genuine report to those of a doctored one.
Make = Callable[[bytes], bytes]


@dataclass(frozen=True)
class Tampering:
    """One way to doctor a report.

    `expected` is the verdict of a checker that knows the shop's key and nothing else (a customer
    with the shop's check page); `at_the_shop` that of the shop itself, which has its own record.
    `says` is the id of a sentence that must be among the reasons, "" for any.
    """

    name: str
    make: Make
    expected: Kind = "changed"
    at_the_shop: Kind = "changed"
    says: str = ""


def tampering(
    table: list[Tampering],
    expected: Kind = "changed",
    says: str = "",
) -> Callable[[Make], Make]:
    """Enter a function into a table under its own name, its underscores as blanks."""

    def enter(make: Make) -> Make:
        table.append(Tampering(make.__name__.replace("_", " "), make, expected=expected, says=says))
        return make

    return enter
