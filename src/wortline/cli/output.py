"""JSON as the command line prints it."""

import json
from collections.abc import Iterable
from dataclasses import asdict
from typing import Any

from wortline.errors import Problem


def as_text(value: Any) -> str:
    """Readable JSON; a number that is not finite would be a mistake and stops here.

    Only ASCII is written, so that no terminal or pipe can change a letter.
    """
    return json.dumps(value, indent=1, allow_nan=False)


def problems_json(problems: Iterable[Problem]) -> str:
    """The complaints about documents as `problems/1`."""
    listed = [asdict(problem) for problem in problems]
    return as_text({"schema": "problems/1", "problems": listed})
