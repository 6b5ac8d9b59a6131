"""What belongs to a car's make: its own figures, and the models that a shop remembers."""
