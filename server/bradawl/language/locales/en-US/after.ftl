# After one has looked at a car, on phone and desk. The phone loads it when it is looked at.
