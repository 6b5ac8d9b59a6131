"""Whether a report is genuine: everything that reads a stranger's file and trusts none of it."""
