"""Backup, restore and forgetting from the command line: wiring over access, log and report."""
