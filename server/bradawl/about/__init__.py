"""What this Bradawl is: its version, what is new in it, and whose work it carries along."""
