"""How a page looks."""
