"""What is drawn: charts, and the car with its marks."""
