"""What all of access rests on: tables, transactions, tokens, rate limits, audit."""
