"""What MicroPython needs to import `typing`: names only, never looked at when running."""

TYPE_CHECKING = False
Any = None
