"""Bradawl: find out what is wrong with an older car, whom it can hurt and what it will cost."""

__version__ = "0.2.0"
