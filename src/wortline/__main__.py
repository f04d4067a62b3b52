"""Run the command line with `python -m wortline`."""

from wortline.cli import main

main()
