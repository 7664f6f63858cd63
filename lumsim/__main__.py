"""Start the command line: ``python -m lumsim``."""

from lumsim.cli.app import main

main()
