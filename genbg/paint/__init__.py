"""1. Painters: seed and preset to one picture a layer."""
