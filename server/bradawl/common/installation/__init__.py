"""This installation of Bradawl: how it is started, and what was chosen for it at the desk."""
