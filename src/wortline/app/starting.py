"""Documents to start from."""

from wortline.app.tables import text


def starting_document(kind: str, pipes: str | None = None) -> str:
    """A commented rig, recipe or day that validates as it is; a rig with its pipes if wanted."""
    plumbing = text(f"pipes/{pipes}.yaml") if pipes else ""
    return text(f"new/{kind}.yaml") + plumbing
