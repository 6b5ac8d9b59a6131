"""Records as files, what is read in from files, and the chains that wait for an owner."""
