"""From a complaint to its cause: the shape of the tables, what may be wrong with them, and what of
them a bundle holds."""
