"""What MicroPython needs for `from __future__ import annotations`, which it does anyway."""

annotations = None
