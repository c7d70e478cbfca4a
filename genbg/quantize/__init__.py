"""3. Inks to four palette rows and an index a pixel."""
