"""The database: its connection, its schema version, and a second copy of rows."""
