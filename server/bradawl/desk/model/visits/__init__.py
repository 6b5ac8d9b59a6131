"""Visits as lists and pages show them: summaries, briefs, candidates, conflicts, history."""
