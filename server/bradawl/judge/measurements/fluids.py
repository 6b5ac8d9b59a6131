"""Coolant: freezing and boiling.

Ethylene and propylene glycol: tables as makers print them (the closing rows and propylene at 20
and 30 %: from memory). Water under a cap: steam tables; glycol adds about 7.5 K at 50 %.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..values import exact, units
from ..values.interpolation import between, table
from ..values.saying import said

if TYPE_CHECKING:
    from .context import Context

_ETHYLENE = table(
    ("0", "0"),
    ("10", "-4"),
    ("20", "-9"),
    ("25", "-12"),
    ("30", "-16"),
    ("33", "-18"),
    ("40", "-24"),
    ("50", "-37"),
    ("60", "-52"),
    ("68", "-69"),
    ("100", "-13"),
)
_PROPYLENE = table(
    ("0", "0"), ("20", "-7"), ("30", "-13"), ("40", "-21"), ("50", "-33"), ("60", "-49")
)
# water at sea level under a cap: psi, degC
_BOILS = table(
    ("0", "100"), ("7", "111"), ("10", "115"), ("13", "119"), ("15", "121"), ("16", "122")
)
_GLYCOL_ADDS = table(("0", "0"), ("50", "7.5"), ("60", "9"))


def coolant(context: Context) -> None:
    """Facts freezes and boils from `freeze` (read) or `mix`, and `cap`."""
    freeze, mix, cap = (
        context.figure_of("freeze"),
        context.figure_of("mix"),
        context.figure_of("cap"),
    )
    unit = context.unit("freeze", "degC")
    rows = _PROPYLENE if context.parameter("base", "ethylene") == "propylene" else _ETHYLENE
    if freeze is not None:
        context.fact("freezes", freeze, unit, "", said("more-as-read"))
    elif mix is not None:
        context.fact("freezes", between(rows, mix), unit, "", said("more-mix"))
    if cap is not None:
        boils = between(_BOILS, units.from_base(cap, "psi"))
        more = said("more-water")
        if mix is not None:
            boils = exact.add(boils, between(_GLYCOL_ADDS, mix))
            more = said("more-cap")
        context.fact("boils", boils, unit, "", more)
