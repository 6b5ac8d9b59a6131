"""Keys, signatures, what a workshop knows and has issued."""
