"""What a first run offers beside the questions: a workshop to play with."""
