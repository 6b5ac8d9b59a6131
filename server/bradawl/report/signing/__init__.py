"""Keys, signatures, and whether a report is whole."""
