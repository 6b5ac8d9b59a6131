"""What reports need of the rest: the plan of work, and checklists and photos to compare with."""
