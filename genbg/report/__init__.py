"""What the command line tells about a finished backdrop."""
