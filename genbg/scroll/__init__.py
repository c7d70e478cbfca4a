"""5. Distances to line speeds to scroll words."""
