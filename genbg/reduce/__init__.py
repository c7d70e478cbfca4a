"""4. Too many tiles to the budget."""
