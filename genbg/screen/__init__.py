"""A backdrop as the machine shows it: frames in colours, and whether they flash."""
