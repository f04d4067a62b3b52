"""Documents to start from."""

from wortline.app.tables import text


def starting_document(kind: str) -> str:
    """A commented rig, recipe or day that validates as it is."""
    return text(f"new/{kind}.yaml")
