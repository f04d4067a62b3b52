"""The command line: parse, call the application, print; heavy things are imported late."""

from wortline.cli.main import main

__all__ = ["main"]
