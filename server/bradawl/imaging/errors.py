"""Errors of pictures: why one is not taken, or not shown."""

from __future__ import annotations

from typing import Any

from bradawl.common.errors import ApiError

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

    def __init__(self, code: str, message: str, clause: str, **more: Any) -> None:
        super().__init__(code, message, 422, **more)
        self.clause = clause


def not_an_image(why: str) -> PictureError:
    """The refusal of a file that cannot be a photo; `why` is a sentence."""
    return PictureError(
        "not_an_image",
        f"This file is not a photo that can be read. {why} Take the photo again; the note beside "
        "it is safe.",
        "it is damaged or not an image",
    )


def too_many_pixels() -> PictureError:
    """The refusal of a photo with more pixels than are taken."""
    return PictureError(
        "too_many_pixels",
        f"This photo has more than {MAX_PIXELS // 1_000_000} million pixels. Send it smaller.",
        f"it has more than {MAX_PIXELS // 1_000_000} million pixels",
        max_pixels=MAX_PIXELS,
    )


def too_large_to_show() -> PictureError:
    """What is said of a photo that is kept but would need too much memory to be decoded."""
    megabytes = DECODING_BYTES // 1_000_000
    return PictureError(
        "too_large_to_show",
        f"This photo is kept as it came, but it cannot be shown: to decode it takes more than the "
        f"{megabytes} MB of memory that are set aside for that. Take it again with fewer pixels, "
        "or as a plain JPEG.",
        f"it would take more than {megabytes} MB of memory to decode it; it is kept as it came",
    )


def undecodable() -> PictureError:
    """What is said of a photo that a decoder gave up on, or was too slow with."""
    return PictureError(
        "not_an_image",
        "This photo is kept as it came, but it cannot be shown: the decoder gave up on it. Take "
        "the photo again.",
        "the decoder gave up on it; it is kept as it came",
    )


#: Errors as a code, as the decoding process tells them.
BY_CODE = {
    "damaged": lambda: not_an_image("Its picture data are damaged."),
    "first_part": lambda: not_an_image("Its first part is damaged."),
    "kind": lambda: not_an_image("It is neither JPEG, PNG, WebP nor HEIC."),
    "too_many_pixels": too_many_pixels,
    "too_large_to_show": too_large_to_show,
    "undecodable": undecodable,
}
