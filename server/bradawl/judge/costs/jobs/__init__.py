"""Jobs at the desk: in which order, when an assembly tips over, what the car is fit for between."""
