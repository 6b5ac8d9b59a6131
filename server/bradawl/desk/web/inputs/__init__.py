"""What was typed into each page's forms, as puts or values; one module for each page."""
