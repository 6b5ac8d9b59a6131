"""The money of a car and of the shop: the ledger, its sums, the life of a car."""
