"""`python -m studio` is the command `potside`."""

from studio.cli import main

main()
