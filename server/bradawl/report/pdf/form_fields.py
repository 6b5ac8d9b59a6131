"""Empty signature fields, made before anybody signs: readers are told what they are for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from pikepdf import Pdf

__all__ = ["EmptyField", "add_fields"]


class EmptyField(NamedTuple):
    """A field to be signed: its name, what it is for, its page's index and corners in points."""

    name: str
    purpose: str
    page: int
    corners: tuple[float, float, float, float]


def add_fields(pdf: Pdf, fields: Sequence[EmptyField]) -> list[tuple[int, Any]]:
    """Add the fields; their widgets with the index of their page (ISO 32000-1, 12.7.4.5)."""
    from pikepdf import Array, Dictionary, Name, String

    made: list[tuple[int, Any]] = []
    for field in fields:
        page = pdf.pages[field.page].obj
        left, bottom, right, top = (round(edge) for edge in field.corners)
        widget = pdf.make_indirect(
            Dictionary(
                Type=Name.Annot,
                Subtype=Name.Widget,
                FT=Name.Sig,
                T=String(field.name),
                TU=String(field.purpose),
                Contents=String(field.purpose),
                F=4 | 128,  # printed; its place is locked
                Rect=Array([left, bottom, right, top]),
                P=page,
            )
        )
        if right > left and top > bottom:
            empty = pdf.make_stream(
                b"",
                Type=Name.XObject,
                Subtype=Name.Form,
                BBox=Array([0, 0, right - left, top - bottom]),
                Resources=Dictionary(),
            )
            widget.AP = Dictionary(N=empty)
        page.Annots = Array([*page.get("/Annots", []), widget])
        made.append((field.page, widget))
    if made:
        pdf.Root.AcroForm = Dictionary(Fields=Array([widget for _, widget in made]))
    return made
