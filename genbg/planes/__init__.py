"""2. Layers onto two planes."""
