"""The report: pages for a stranger, signed, and checked again later.

Heavy libraries (reportlab, pikepdf, pyHanko) are imported when a report is made or checked.
"""
