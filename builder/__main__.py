"""`python -m builder`: the command, where its script is not on the path."""

from builder.command_line import main

main()
