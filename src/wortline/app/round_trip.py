"""A document changed in its own text: what is not touched stays as it was typed, comments too."""

import io
from collections.abc import Callable
from typing import Any


def round_trip() -> Any:
    """Return a reader and writer of YAML that keeps comments, quotes and order."""
    from ruamel.yaml import YAML

    yaml = YAML(typ="rt", pure=True)
    yaml.width = 4096
    yaml.preserve_quotes = True
    yaml.indent(mapping=2, sequence=4, offset=2)
    return yaml


def worked(text: str, work: Callable[[Any], None]) -> str:
    """Return the text after work on its tree."""
    yaml = round_trip()
    tree = yaml.load(text)
    work(tree)
    out = io.StringIO()
    yaml.dump(tree, out)
    return out.getvalue()


def quoted(text: str) -> str:
    """Return a text as a YAML scalar in quotes, on one line."""
    return "'" + " ".join(text.split()).replace("'", "''") + "'"
