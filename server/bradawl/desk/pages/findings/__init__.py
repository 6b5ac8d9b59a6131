"""What is settled, added and corrected in an inspection at the desk."""
