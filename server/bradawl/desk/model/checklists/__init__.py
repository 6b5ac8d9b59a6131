"""Adapted checklists: their versions, and one tried on a visit."""
