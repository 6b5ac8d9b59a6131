"""Pages of all cars: side by side, and the board of the shop."""
