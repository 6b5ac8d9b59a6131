"""A car's sheet of parts: its columns, its lines below their jobs, and what was changed in it."""
