"""A document as a request names it: a kept one by its number, or a text by itself."""

from typing import TYPE_CHECKING

from pydantic import Field, model_validator

from wortline.app.ports import DocumentStore
from wortline.web.api.documents import MOST_TEXT, Told
from wortline.web.refusals import Unwelcome
from wortline.web.saving import unix_lines

if TYPE_CHECKING:
    from wortline.app.files import File


class Source(Told):
    """One document: `document` for its newest revision, `revision` for one, or `text` itself."""

    document: int | None = Field(None, ge=1, le=2_147_483_647)
    revision: int | None = Field(None, ge=1, le=2_147_483_647)
    text: str | None = Field(None, max_length=MOST_TEXT)

    @model_validator(mode="after")
    def _one(self) -> "Source":
        if sum(each is not None for each in (self.document, self.revision, self.text)) != 1:
            raise ValueError("name exactly one of document, revision and text")
        return self


def file_of(documents: DocumentStore, source: Source, kind: str) -> "File":
    """Return the document a request means, as a file with a name people know it by."""
    from wortline.app.files import File
    from wortline.app.keeping import title

    if source.text is not None:
        return File(kind, unix_lines(source.text).encode("utf-8", "replace"))
    if source.revision is not None:
        kept = documents.revision(source.revision)
    else:
        kept = documents.latest(source.document or 0)
    if kept.kind != kind:
        told = f"{kept.name} is a {kept.kind}; here a {kind} is needed."
        raise Unwelcome(422, "wrong-kind", told)
    return File(title(kept), kept.text.encode("utf-8"))
