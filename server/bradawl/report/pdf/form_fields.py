"""Empty signature fields, made before anybody signs: readers are told what they are for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from pikepdf import Pdf

__all__ = ["EmptyField", "add_fields"]


class EmptyField(NamedTuple):
    """A field to be signed: its name, what it is for, and the reasons that a signer may give.

    It has no place on a page: whatever a program drew there would be read as the report's.
    """

    name: str
    purpose: str
    reasons: tuple[str, ...] = ()


def add_fields(pdf: Pdf, fields: Sequence[EmptyField]) -> list[tuple[int, Any]]:
    """Add the fields; their widgets with the index of their page (ISO 32000-1, 12.7.4.5)."""
    from pikepdf import Array, Dictionary, Name, String

    made: list[tuple[int, Any]] = []
    for field in fields:
        page = pdf.pages[0].obj
        widget = pdf.make_indirect(
            Dictionary(
                Type=Name.Annot,
                Subtype=Name.Widget,
                FT=Name.Sig,
                T=String(field.name),
                TU=String(field.purpose),
                Contents=String(field.purpose),
                F=4 | 128,  # printed; its place is locked
                Rect=Array([0, 0, 0, 0]),
                P=page,
            )
        )
        if field.reasons:  # demanded (ISO 32000-1, table 234)
            reasons = Array([String(reason) for reason in field.reasons])
            widget.SV = pdf.make_indirect(Dictionary(Type=Name.SV, Ff=8, Reasons=reasons))
        page.Annots = Array([*page.get("/Annots", []), widget])
        made.append((0, widget))
    if made:
        pdf.Root.AcroForm = Dictionary(Fields=Array([widget for _, widget in made]))
    return made
