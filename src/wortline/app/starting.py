"""Documents to start from."""

from wortline.app.ports import DocumentStore, Draft, Heading
from wortline.documents.kinds import DocumentKind

EXAMPLE = "An example to try; throw it away when you like."
FIRST: tuple[tuple[DocumentKind, str], ...] = (
    ("rig", "Shed rig with two valves"),
    ("recipe", "Rainday Pale"),
    ("day", "A cool day in March"),
)


def starting_document(kind: str, pipes: str | None = None) -> str:
    """A commented rig, recipe or day that validates as it is; a rig with its pipes if wanted."""
    from wortline.app.tables import text

    plumbing = text(f"pipes/{pipes}.yaml") if pipes else ""
    return text(f"new/{kind}.yaml") + plumbing


def lay_out_examples(documents: DocumentStore) -> bool:
    """Put three examples into a store that never held anything; say whether that was so."""
    if next(iter(documents.revisions()), None) is not None:
        return False
    from wortline.app.tables import text

    documents.save_together(
        [Draft(kind, name, text(f"first/{kind}.yaml"), EXAMPLE) for kind, name in FIRST]
    )
    return True


def examples_in(documents: DocumentStore) -> list[Heading]:
    """Return the examples that are still in sight, however many documents there are."""
    return [
        each
        for kind, name in FIRST
        for each in documents.listed(kind, name).headings
        if is_example(each)
    ]


def is_example(heading: Heading) -> bool:
    """Say whether a document is still an example as it was laid out."""
    return heading.why == EXAMPLE and heading.parent is None
