"""From grades to what to do: the drive home, what to check next, causes."""
