"""The phone app as plain files, for a host that has no Bradawl (`bradawl phone-app`)."""
