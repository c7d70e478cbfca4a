"""The machine: limits, words and memory. Exact, both directions."""
