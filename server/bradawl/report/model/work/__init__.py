"""Work on the car since the inspection, and what is still planned, as a report says it."""
