"""The units in which a command prints."""

from typing import Any, Literal

import click

System = Literal["metric", "us"]


def units_option(command: Any) -> Any:
    """The option that chooses them."""
    return click.option(
        "--units",
        type=click.Choice(["metric", "us"]),
        default="metric",
        show_default=True,
        help="Units to print in.",
    )(command)
