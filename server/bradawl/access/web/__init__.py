"""Pages of access, and who may ask for what."""
