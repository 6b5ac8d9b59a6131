"""How a car is offered: its ads, and what is claimed of it."""
