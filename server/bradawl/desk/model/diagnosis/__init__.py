"""From symptom to cause: the tables, and what they come to on one visit."""
