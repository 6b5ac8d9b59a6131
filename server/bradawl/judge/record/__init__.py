"""From events to cells, from cells to checked readings."""
