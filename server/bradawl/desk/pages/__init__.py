"""The routes of the desk, one module for each page."""
