"""Every dollar and hour of a car: what was paid, what is ordered, what is still to come.

For desk and report alone: no phone loads this room (server/bradawl/serving/judge_files.py).
"""
