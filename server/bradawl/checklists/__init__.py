"""What to look at, and what is allowed: the checklist files, read, judged and bundled."""
