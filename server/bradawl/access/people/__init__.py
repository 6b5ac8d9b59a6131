"""People of the desk: invitations, passphrases, sessions, links to reports."""
