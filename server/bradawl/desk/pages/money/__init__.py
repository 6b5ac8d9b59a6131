"""The pages of money: a car's ledger, and the shop's sums."""
