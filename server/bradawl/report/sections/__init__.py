"""One module for each chapter of the report."""
