"""The reference of every field of every document, made from the models themselves."""

from collections.abc import Iterator
from typing import Any, get_args, get_origin

from pydantic import BaseModel

from wortline.documents.loading import MODELS, UPGRADES
from wortline.documents.words import allowed_in


def described() -> str:
    """Return the reference as Markdown: for each document its fields in order."""
    parts = [
        "# Fields of the documents\n",
        "Made from the models by `wortline.documents.described`; a test compares it.\n",
        "A list is written with `- `; its entries are shown as `[]`. Wherever a quantity stands, "
        "`{value: ..., spread: ..., from: measured | typical | guess}` may stand too; `spread` is "
        "one standard deviation in the same unit or `%`.\n",
    ]
    for name, model in MODELS.items():
        version = len(UPGRADES[name]) + 1
        parts.append(f"## {name}/{version}\n\n{model.__doc__ or ''}\n")
        parts.append("| field | needed | what it holds |\n|---|---|---|")
        parts.append(f"| `schema` | yes | `{name}/{version}` |")
        parts += [f"| `{path}` | {needed} | {what} |" for path, needed, what in _rows(model, "")]
        parts.append("")
    return "\n".join(parts)


def _rows(model: type[BaseModel], above: str) -> Iterator[tuple[str, str, str]]:
    for name, field in model.model_fields.items():
        path = above + (field.alias or name)
        inner, several = _model_in(field.annotation)
        needed = "yes" if field.is_required() else "no"
        if inner is None:
            yield path, needed, allowed_in([*field.metadata, field.annotation]).replace("|", "\\|")
            continue
        path += "[]" if several else ""
        yield path, needed, inner.__doc__ or ""
        yield from _rows(inner, f"{path}.")


def _model_in(annotation: Any) -> tuple[type[BaseModel] | None, bool]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation, False
    several = get_origin(annotation) is tuple
    for part in get_args(annotation):
        inner, deeper = _model_in(part)
        if inner:
            return inner, several or deeper
    return None, False
