"""Out of an attached record what its pages were built from, so that they can be printed again."""
