"""Chains as they are stored: own ones, side chains, the owner’s orders, repair."""
