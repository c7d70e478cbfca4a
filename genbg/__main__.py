"""`python -m genbg`: the command line, where the `genbg` command itself is not on the path."""

from genbg.cli import main

main()
