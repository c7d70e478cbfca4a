"""6. Backdrop to files."""
