"""Draws what stands where a photo should: a picture of the sentence that says why.

A page or an app asks for a picture and shows whatever picture it gets, with any status.
"""

from __future__ import annotations

import textwrap
from html import escape

__all__ = ["placeholder"]


def placeholder(sentence: str) -> str:
    """An SVG of 800 x 600 with the sentence in a dashed frame."""
    lines = textwrap.wrap(sentence, 40)
    top = 300 - (len(lines) - 1) * 22
    words = "".join(
        f'<text x="400" y="{top + 44 * n}">{escape(line)}</text>' for n, line in enumerate(lines)
    )
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 800 600" width="800" height="600">'
        '<rect width="800" height="600" fill="#f2f0ea"/>'
        '<rect x="12" y="12" width="776" height="576" rx="10" fill="none" stroke="#5f656e" '
        'stroke-width="4" stroke-dasharray="16 10"/>'
        '<g fill="#16202b" font-family="sans-serif" font-size="32" text-anchor="middle" '
        f'dominant-baseline="middle">{words}</g></svg>'
    )
