"""Photos and recordings: taken in, stored, served."""
