"""From facts to grades."""
