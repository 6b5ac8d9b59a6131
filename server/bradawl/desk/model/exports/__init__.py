"""What leaves the desk for other programs: the workbook, the parts list and the ledger."""
