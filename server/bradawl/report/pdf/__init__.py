"""From pages to an archival file."""
