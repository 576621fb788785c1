"""`python -m advisor`."""

from advisor.cli.main import main

main()
