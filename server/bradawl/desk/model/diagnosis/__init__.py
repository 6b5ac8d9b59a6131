"""From symptom to cause: what the judge makes of one visit, as the desk shows it."""
