"""From the bytes of a file to a rig, a recipe or a day, or to every problem in it at once."""

import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any, Literal, cast, get_args, overload

from pydantic import BaseModel, ValidationError

from wortline.documents.day import Day
from wortline.documents.kinds import DocumentKind
from wortline.documents.lineup import LineUp
from wortline.documents.quantity import Fault, Measure, nearest, typed_as
from wortline.documents.reading import Path, Source, Tree, dotted, read
from wortline.documents.recipe import Recipe
from wortline.documents.rig import Rig
from wortline.documents.words import allowed_in
from wortline.errors import DocumentRefused, Problem
from wortline.units import short

Document = Rig | Recipe | Day | LineUp
Model = type[Rig] | type[Recipe] | type[Day] | type[LineUp]
MODELS: Mapping[str, Model] = MappingProxyType(
    {model.SCHEMA: model for model in (Rig, Recipe, Day, LineUp)}
)
# pure functions, the first from version 1 to 2, and so on; the newest version is their count + 1
UPGRADES: Mapping[str, tuple[Callable[[Tree], Tree], ...]] = MappingProxyType(
    {"rig": (), "recipe": (), "day": (), "lineup": ()}
)
_BRITISH = re.compile(
    r"\b(?:british|britain|uk|gb|england|english|scotland|scottish|(?<!south )wales|welsh|"
    r"northern ireland|london|yorkshire|cornwall|cornish|imperial)\b|\bu\.k\.|\bg\.b\."
)


def is_british(origin: object) -> bool:
    """Say whether a document's origin makes a bare gallon doubtful."""
    text = str(origin).lower().replace("new england", "").replace("new london", "")
    return _BRITISH.search(text) is not None


@overload
def load(file: str, content: bytes | str, kind: Literal["rig"]) -> Rig: ...
@overload
def load(file: str, content: bytes | str, kind: Literal["recipe"]) -> Recipe: ...
@overload
def load(file: str, content: bytes | str, kind: Literal["day"]) -> Day: ...
@overload
def load(file: str, content: bytes | str, kind: Literal["lineup"]) -> LineUp: ...
@overload
def load(file: str, content: bytes | str, kind: DocumentKind | None = None) -> Document: ...
def load(file: str, content: bytes | str, kind: DocumentKind | None = None) -> Document:
    """Return the document a file holds.

    Parameters
    ----------
    file
        The file's name as the person gave it, for the complaints.
    content
        The file's bytes or text.
    kind
        The kind of document that is needed; any if None.

    Raises
    ------
    DocumentRefused
        With every problem found, in the order of their lines.
    """
    source = read(file, content)
    model = _model(source, kind)
    tree = {key: value for key, value in source.tree.items() if key != "schema"}
    gallons = str(tree.get("gallons", "")).strip().lower()
    context = {
        "gallons": {"us": "us", "imperial": "imperial", "imp": "imperial", "uk": "imperial"}.get(
            gallons
        ),
        "british": is_british(tree.get("origin", "")),
    }
    found = list(source.problems)
    document: Document | None = None
    try:
        document = model.model_validate(tree, context=context)
    except ValidationError as error:
        further = _problems(source, model, error)
        allowed = {problem.field: problem.allowed for problem in further}
        found = [
            replace(problem, allowed=problem.allowed or allowed.get(problem.field, ""))
            for problem in found
        ]
        known = {problem.field for problem in found}
        found += [problem for problem in further if problem.field not in known]
    if found or document is None:
        raise DocumentRefused(sorted(found, key=lambda problem: problem.line))
    return document


def _model(source: Source, kind: DocumentKind | None) -> Model:
    """Return the model the document's schema names; bring an older version up to date."""
    typed = source.tree.get("schema", "")
    known = ", ".join(f"{name}/{len(steps) + 1}" for name, steps in UPGRADES.items())
    wanted = f"{kind}/{len(UPGRADES[kind]) + 1}" if kind else known

    def problem(text: str, near: str = "") -> Problem:
        line = source.line(("schema",))
        return Problem(source.file, line, "schema", typed_as(typed), wanted, near, text)

    match = (
        re.fullmatch(r"([a-z]+)/([0-9]{1,6})", typed.strip()) if isinstance(typed, str) else None
    )
    if not match or match[1] not in MODELS:
        near = nearest(str(typed), tuple(known.split(", ")))
        if "schema" not in source.tree:
            complaint = problem(f"`schema` is missing; write it at the top: {wanted}")
        else:
            complaint = problem(
                f"`{typed_as(typed)}` is not a schema known here; write {wanted}", near
            )
        if typed != "" or "schema" not in source.tree:
            source.problems.append(complaint)
        if kind is None:
            raise DocumentRefused(source.problems)
        return MODELS[kind]
    name, version = match[1], int(match[2])
    if kind and name != kind:
        raise DocumentRefused([problem(f"this is a {name}; here a {kind} is needed", wanted)])
    newest = len(UPGRADES[name]) + 1
    if not 1 <= version <= newest:
        age = "newer than this Wortline knows" if version > newest else "not a version"
        raise DocumentRefused([problem(f"`{typed}` is {age}; it reads {name}/{newest}")])
    for step in UPGRADES[name][version - 1 :]:
        source.tree = step(source.tree)
    return MODELS[name]


def _part(model: type[BaseModel], path: Path) -> type[BaseModel] | None:
    """Return the model that stands at a path of a document."""
    part: type[BaseModel] | None = model
    for key in path:
        if isinstance(key, int) or part is None:
            continue
        field = _fields(part).get(key)
        part = _models_in(field.annotation) if field else None
    return part


def _models_in(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for part in get_args(annotation) if (found := _models_in(part))), None)


def _fields(model: type[BaseModel]) -> dict[str, Any]:
    return {field.alias or name: field for name, field in model.model_fields.items()}


def measure_at(model: type[BaseModel], path: Path) -> Measure | None:
    """Return the kind and limits declared for a field, or None where it is no quantity."""
    part = _part(model, path[:-1])
    field = _fields(part).get(str(path[-1])) if part else None
    return _measure_in([*field.metadata, field.annotation]) if field else None


def _measure_in(parts: Any) -> Measure | None:
    for part in parts:
        if isinstance(part, Measure):
            return part
        found = getattr(part, "measure", None) or _measure_in(
            (*get_args(part), *getattr(part, "__metadata__", ()))
        )
        if isinstance(found, Measure):
            return found
    return None


def _at(tree: Any, path: Path) -> Any:
    for key in path:
        try:
            tree = tree[key]
        except (KeyError, IndexError, TypeError):
            return ""
    return tree


def _problems(source: Source, model: type[BaseModel], error: ValidationError) -> list[Problem]:
    found: list[Problem] = []
    meant: set[Path] = set()
    entries = error.errors(include_url=False)
    for entry in sorted(entries, key=lambda entry: entry["type"] != "extra_forbidden"):
        path = cast(Path, tuple(entry["loc"]))
        for fault in _faults(source, model, entry, path):
            if entry["type"] == "extra_forbidden" and fault.nearest:
                meant.add((*path[:-1], fault.nearest))
            # What is missing because it is misspelt has its complaint already.
            if path in meant and _at(source.tree, path) == "":
                continue
            here = (*path, *fault.sub)
            asks = fault.nearest and "did you mean" not in fault.text
            found.append(
                Problem(
                    source.file,
                    source.line(here),
                    dotted(here),
                    fault.value,
                    fault.allowed,
                    fault.nearest,
                    fault.text + (f"; did you mean `{fault.nearest}`?" if asks else ""),
                )
            )
    return found


def _faults(source: Source, model: type[BaseModel], entry: Any, path: Path) -> tuple[Fault, ...]:
    kind, context = entry["type"], entry.get("ctx", {})
    if kind == "wortline":
        return cast(tuple[Fault, ...], context["faults"])
    name = short(str(path[-1])) if path else ""
    value = typed_as(_at(source.tree, path))
    if kind == "extra_forbidden":
        part = _part(model, path[:-1])
        known = tuple(_fields(part)) if part else ()
        near = nearest(str(path[-1]), known)
        hint = f"; did you mean `{near}`?" if near else f"; known are {', '.join(known)}"
        return (Fault(f"`{name}` is not known here{hint}", value, ", ".join(known), near),)
    if kind == "missing":
        inner = _part(model, path)
        if inner:
            allowed = ", ".join(_fields(inner))
            return (Fault(f"`{name}` is missing; it has the fields {allowed}", "", allowed),)
        part = _part(model, path[:-1])
        field = _fields(part)[str(path[-1])] if part else None
        allowed = allowed_in([*field.metadata, field.annotation]) if field else ""
        return (Fault(f"`{name}` is missing; it is {allowed}", "", allowed),)
    part = _part(model, path)
    allowed = {
        "tuple_type": "a list, each entry on a line beginning with `- `",
        "model_type": f"fields in braces or on lines below: {', '.join(_fields(part))}"
        if part
        else "",
        "string_type": "one line of text",
        "string_pattern_mismatch": "one line of text",
        "string_too_short": "one line of text, not empty",
        "string_too_long": f"a text of at most {context.get('max_length')} characters",
    }.get(kind, str(entry["msg"]))
    return (Fault(f"`{value}` does not fit; it needs {allowed}", value, allowed),)
