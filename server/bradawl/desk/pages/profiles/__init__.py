"""Pages of the cars' own figures: of one visit, and of the models that the shop remembers."""
