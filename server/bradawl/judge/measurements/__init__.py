"""From readings to facts, one module for each system of the car."""
