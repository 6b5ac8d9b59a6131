"""The backups of a running server, and what they and the commands ask of its records."""
