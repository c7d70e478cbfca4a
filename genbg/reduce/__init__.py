"""4. Too many patterns to the budget."""
