"""Errors of pictures: why one is not taken, or not shown."""

from __future__ import annotations

from typing import Any

from bradawl.common.errors import ApiError
from bradawl.language import Message, message

__all__ = [
    "BY_CODE",
    "DECODING_BYTES",
    "MAX_PIXELS",
    "PictureError",
    "not_an_image",
    "too_many_pixels",
    "undecodable",
]

#: No camera of a phone makes more; a picture of so many is decoded in parts of what it holds.
MAX_PIXELS = 50_000_000
#: What decoding one picture may use; pictures are decoded one after another.
DECODING_BYTES = 512_000_000


class PictureError(ApiError):
    """A file that is no picture, or none that can be shown here.

    `clause` says the same after "because", such as ``it is damaged or not an image``.
    """

    def __init__(self, code: str, said: Message, clause: Message, **more: Any) -> None:
        super().__init__(code, said, 422, **more)
        self.clause = clause


def not_an_image(what: str) -> PictureError:
    """The refusal of a file that cannot be a photo: `kind`, `data`, `first-part`, `end`."""
    return PictureError(
        "not_an_image",
        message("server-photo-" + what),
        message("server-photo-clause-damaged"),
    )


def too_many_pixels() -> PictureError:
    """The refusal of a photo with more pixels than are taken."""
    millions = MAX_PIXELS // 1_000_000
    return PictureError(
        "too_many_pixels",
        message("server-photo-pixels", millions=millions),
        message("server-photo-clause-pixels", millions=millions),
        max_pixels=MAX_PIXELS,
    )


def too_large_to_show() -> PictureError:
    """What is said of a photo that is kept but would need too much memory to be decoded."""
    megabytes = DECODING_BYTES // 1_000_000
    return PictureError(
        "too_large_to_show",
        message("server-photo-memory", megabytes=megabytes),
        message("server-photo-clause-memory", megabytes=megabytes),
    )


def undecodable() -> PictureError:
    """What is said of a photo that a decoder gave up on, or was too slow with."""
    return PictureError(
        "not_an_image",
        message("server-photo-undecodable"),
        message("server-photo-clause-undecodable"),
    )


#: Errors as a code, as the decoding process tells them.
BY_CODE = {
    "damaged": lambda: not_an_image("data"),
    "first_part": lambda: not_an_image("first-part"),
    "kind": lambda: not_an_image("kind"),
    "too_many_pixels": too_many_pixels,
    "too_large_to_show": too_large_to_show,
    "undecodable": undecodable,
}
