"""Bradawl as a program of somebody's own computer: opened by an icon, started at login."""
