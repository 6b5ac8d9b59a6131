"""What each edition of a report tells, and what it leaves out."""
