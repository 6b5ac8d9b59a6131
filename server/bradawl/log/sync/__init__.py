"""What a device brings, and what it lacks."""
