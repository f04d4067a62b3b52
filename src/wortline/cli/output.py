"""JSON as the command line prints it."""

import json
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any, NoReturn

import click

from wortline.errors import DocumentRefused, Problem

REFUSED = 1


def as_text(value: Any) -> str:
    """Readable JSON; a number that is not finite would be a mistake and stops here.

    Only ASCII is written, so that no terminal or pipe can change a letter.
    """
    return json.dumps(value, indent=1, allow_nan=False)


def problems_json(problems: Iterable[Problem]) -> str:
    """The complaints about documents as `problems/1`."""
    listed = [asdict(problem) for problem in problems]
    return as_text({"schema": "problems/1", "problems": listed})


def refuse(refusal: DocumentRefused, as_json: bool) -> NoReturn:
    """Print every problem and leave with the exit code of refused input."""
    if as_json:
        click.echo(problems_json(refusal.problems))
    else:
        for problem in refusal.problems:
            click.echo(str(problem), err=True)
    raise SystemExit(REFUSED)
