"""Backup, restore, examination and forgetting from the command line: the wiring."""
