"""One inspection as desk and report see it: snapshot, recorded values, seals."""
