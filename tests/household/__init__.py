"""A year of an invented household: forty cooks on one cooker, for looking at the Ledger."""
