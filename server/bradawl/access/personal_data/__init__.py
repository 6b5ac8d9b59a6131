"""What names a person: found, and erased."""
