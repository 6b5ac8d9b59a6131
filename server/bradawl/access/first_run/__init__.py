"""The first run at the desk: five questions, each found again later, and cars to play with."""
