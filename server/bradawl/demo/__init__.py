"""The demonstration: invented cars, loaded as a phone would send them."""
