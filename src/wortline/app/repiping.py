"""A rig's plumbing changed part by part in its own text: comments and all other lines stay."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from wortline.app import tables
from wortline.app.round_trip import round_trip, worked
from wortline.documents.plumbing import SHAPES
from wortline.documents.reading import read
from wortline.errors import DocumentRefused, Problem

FORM = "form"
Tree = Any
Act = Callable[[str, Mapping[str, str]], str]
MADE_AS = {
    "hose": {"bore": "12.7 mm", "length": "1 m"},
    "valve3": {"passage": "L"},
}
"""What a new part of a kind has to say; the person changes it to what is there."""
STARTS = (
    ("two-valves", "two three-way valves: whirlpool, chill and transfer without moving a hose"),
    ("one-valve", "one three-way valve"),
    ("one-pump", "a pump and one hose that is moved by hand"),
    ("coil", "a coil that hangs in the kettle"),
)


@dataclass(frozen=True)
class Listed:
    """A part as it stands in the text: its ports, each with what it is joined to."""

    name: str
    kind: str
    noun: str
    fields: tuple[tuple[str, str], ...]
    settable: tuple[str, ...]
    ports: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True)
class Outline:
    """The plumbing of a text, even one with faults."""

    parts: tuple[Listed, ...] = ()
    joins: tuple[tuple[str, str], ...] = ()
    free: tuple[str, ...] = ()


def with_pipes(text: str, name: str) -> str:
    """Return a rig's text with pipes to start from at its end.

    Raises
    ------
    DocumentRefused
        If it has pipes already, or there is no such start.
    """
    if name not in dict(STARTS):
        known = ", ".join(each for each, _ in STARTS)
        raise _refused("pipes", name, known, f"`{name}` is no start; it is one of {known}")
    if "plumbing" in read(FORM, text).tree:
        raise _refused("plumbing", "", "", "this rig has `plumbing` already")
    return text.rstrip("\n") + "\n" + tables.text(f"pipes/{name}.yaml")


def parts_of(text: str) -> Outline:
    """Return the parts and joins that stand in a text; nothing where they cannot be read."""
    try:
        plumbing = read(FORM, text).tree.get("plumbing")
    except DocumentRefused:
        return Outline()
    if not isinstance(plumbing, dict):
        return Outline()
    rows = [each for each in _rows(plumbing, "parts") if isinstance(each, dict)]
    joins = tuple(
        (str(each[0]).strip(), str(each[1]).strip())
        for each in _rows(plumbing, "joins")
        if isinstance(each, list) and len(each) == 2
    )
    capped = {str(each).strip() for each in _rows(plumbing, "capped")}
    led = {a: b for pair in joins for a, b in (pair, pair[::-1])}
    parts = tuple(_listed_part(row, led, capped) for row in rows if row.get("kind") in SHAPES)
    free = tuple(port for part in parts for port, to, _ in part.ports if not to)
    return Outline(parts, joins, free)


def _rows(plumbing: Tree, key: str) -> list[Any]:
    found = plumbing.get(key)
    return found if isinstance(found, list) else []


def _listed_part(row: dict[str, Any], led: Mapping[str, str], capped: set[str]) -> Listed:
    name, kind = str(row.get("name", "")), str(row["kind"])
    shape = SHAPES[kind]
    ways = row.get("ways")
    names = shape.ports
    if kind == "valve3":
        known = isinstance(ways, list) and len(ways) == 2
        names = (str(row.get("common", "in")), *(map(str, ways) if known and ways else "ab"))
    elif row.get("form") == "immersion":
        names = ("water_in", "water_out")
    ports = []
    for each in names:
        full = f"{name}.{each}"
        # a part with one port may be joined by its name alone
        typed = full if full in led or full in capped or len(names) > 1 else name
        to = led.get(typed, "a cap" if typed in capped else "")
        ports.append((full if not to else typed, to, each))
    said = tuple(
        (key, str(value)) for key, value in row.items()
        if key not in ("name", "kind") and isinstance(value, str)
    )  # fmt: skip
    settable = tuple(sorted({"height", "hold_up", *shape.fields} - {"curve", "ways"}))
    return Listed(name, kind, shape.noun, said, settable, tuple(ports))


def edited(text: str, change: Mapping[str, str]) -> str:
    """Return a rig's text after one change to its plumbing.

    Parameters
    ----------
    text
        The rig as typed; it may have faults elsewhere.
    change
        `act` and what it needs: ``add`` (name, kind), ``remove`` (part), ``rename``
        (part, name), ``join`` (a, b), ``part`` (a, b), ``cap`` and ``uncap`` (a), ``set`` (part,
        field, value).

    Raises
    ------
    DocumentRefused
        If the text cannot be read as YAML, or the change names what is not there.
    """
    act = _ACTS.get(change.get("act", ""))
    if act is None:
        raise _refused("act", change.get("act", ""), ", ".join(_ACTS), "this is no change here")
    before = read(FORM, text).tree
    if not isinstance(before.get("plumbing"), dict):
        allowed = "a rig with `plumbing`"
        raise _refused("plumbing", "", allowed, "this rig has no `plumbing` to change yet")
    after = act(text, change)
    _same_but_plumbing(before, read(FORM, after).tree)
    return after


def _worked(text: str, work: Callable[[Tree], None]) -> str:
    """Return the text after a round trip on which its plumbing was worked."""
    return worked(text, lambda tree: work(tree["plumbing"]))


def _plumbing(text: str) -> Tree:
    return round_trip().load(text)["plumbing"]


def _same_but_plumbing(before: Tree, after: Tree) -> None:
    """Refuse a change that would touch anything else, which no round trip should."""
    if {**before, "plumbing": ""} != {**after, "plumbing": ""}:
        text = "this text would not stay as you typed it; change it by hand as text"
        raise _refused("", "", "a change by hand", text)


def _refused(field: str, value: str, allowed: str, text: str) -> DocumentRefused:
    return DocumentRefused([Problem(FORM, 0, field, value, allowed, "", text)])


def _listed(plumbing: Tree, key: str) -> Any:
    from ruamel.yaml.comments import CommentedSeq

    if not isinstance(plumbing.get(key), list):
        plumbing[key] = CommentedSeq()
    return plumbing[key]


def _place(plumbing: Tree, name: str) -> int:
    names = [str(each.get("name", "")) for each in _listed(plumbing, "parts")]
    if name not in names:
        known = ", ".join(names)
        raise _refused("part", name, known, f"`{name}` is no part of this rig; it has {known}")
    return names.index(name)


def _add(plumbing: Tree, change: Mapping[str, str]) -> None:
    from ruamel.yaml.comments import CommentedMap

    name, kind = change.get("name", "").strip(), change.get("kind", "")
    if kind not in SHAPES:
        known = ", ".join(SHAPES)
        raise _refused("kind", kind, known, f"`{kind}` is no kind of part; it is one of {known}")
    if not name:
        raise _refused("name", "", "a name such as V3", "give the new part a name")
    parts = _listed(plumbing, "parts")
    if any(str(each.get("name", "")) == name for each in parts):
        raise _refused("name", name, "a name of its own", f"there is a part `{name}` already")
    made = CommentedMap({"name": name, "kind": kind, **MADE_AS.get(kind, {})})
    made.fa.set_flow_style()
    parts.append(made)


def _remove(text: str, change: Mapping[str, str]) -> str:
    name = change.get("part", "")
    text = _without(text, "parts", _place(_plumbing(text), name))
    for key in ("joins", "capped"):
        ends = _plumbing(text).get(key) or []
        gone = [
            at for at, each in enumerate(ends)
            if name in {_owner(end) for end in ([each] if isinstance(each, str) else each)}
        ]  # fmt: skip
        for at in reversed(gone):
            text = _without(text, key, at)
    return text


def _rename(plumbing: Tree, change: Mapping[str, str]) -> None:
    old, new = change.get("part", ""), change.get("name", "").strip()
    place = _place(plumbing, old)
    if not new:
        raise _refused("name", "", "a name such as V3", f"give `{old}` a name")
    names = {str(each.get("name", "")) for each in plumbing["parts"]} - {old}
    if new in names:
        raise _refused("name", new, "a name of its own", f"there is a part `{new}` already")
    plumbing["parts"][place]["name"] = new
    for ends in (*_listed(plumbing, "joins"), plumbing.get("capped") or []):
        for at, end in enumerate(ends):
            if _owner(end) == old:
                ends[at] = new + str(end).strip()[len(old) :]


def _join(plumbing: Tree, change: Mapping[str, str]) -> None:
    from ruamel.yaml.comments import CommentedSeq

    a, b = _ends(change)
    made = CommentedSeq([a, b])
    made.fa.set_flow_style()
    _listed(plumbing, "joins").append(made)


def _part(text: str, change: Mapping[str, str]) -> str:
    a, b = _ends(change)
    for at, ends in enumerate(_plumbing(text).get("joins") or []):
        if {str(end).strip() for end in ends} == {a, b}:
            return _without(text, "joins", at)
    raise _refused("joins", f"{a}, {b}", "a join of this rig", f"`{a}` and `{b}` are not joined")


def _cap(plumbing: Tree, change: Mapping[str, str]) -> None:
    _listed(plumbing, "capped").append(_end(change, "a"))


def _uncap(text: str, change: Mapping[str, str]) -> str:
    end = _end(change, "a")
    capped = [str(each).strip() for each in _plumbing(text).get("capped") or []]
    if end not in capped:
        raise _refused("capped", end, "a capped port", f"`{end}` is not capped")
    return _without(text, "capped", capped.index(end))


def _set(plumbing: Tree, change: Mapping[str, str]) -> None:
    part = plumbing["parts"][_place(plumbing, change.get("part", ""))]
    field, value = change.get("field", ""), change.get("value", "").strip()
    known = sorted({"height", "hold_up", *SHAPES[str(part.get("kind", "hose"))].fields})
    if field not in known or field in ("curve", "ways"):
        said = ", ".join(each for each in known if each not in ("curve", "ways"))
        raise _refused("field", field, said, f"`{field}` is not set here; it is one of {said}")
    if value:
        part[field] = value
    else:
        part.pop(field, None)


def _ends(change: Mapping[str, str]) -> tuple[str, str]:
    return _end(change, "a"), _end(change, "b")


def _end(change: Mapping[str, str], key: str) -> str:
    said = change.get(key, "").strip()
    if not said:
        raise _refused(key, "", "a port such as V1.arm", "choose two ports")
    return said


def _owner(end: object) -> str:
    return str(end).partition(".")[0].strip()


def _without(text: str, key: str, at: int) -> str:
    """Return the text without one entry of a list; comments on lines of their own stay."""
    items = _plumbing(text)[key]
    if items.fa.flow_style() or len(items) == 1:
        return _worked(text, lambda plumbing: plumbing[key].pop(at))
    lines = text.split("\n")
    first, _ = items.lc.item(at)
    dash = lines[first].index("-")
    last = first + 1
    while last < len(lines) and (_is_bare(lines[last]) or _indent(lines[last]) > dash):
        last += 1
    while _is_bare(lines[last - 1]):
        last -= 1
    return "\n".join([*lines[:first], *lines[last:]])


def _is_bare(line: str) -> bool:
    """Say whether a line holds nothing but a comment."""
    return not line.strip() or line.lstrip().startswith("#")


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip())


def _by_tree(act: Callable[[Tree, Mapping[str, str]], None]) -> Act:
    return lambda text, change: _worked(text, lambda plumbing: act(plumbing, change))


_ACTS: Mapping[str, Act] = {
    "add": _by_tree(_add), "remove": _remove, "rename": _by_tree(_rename),
    "join": _by_tree(_join), "part": _part, "cap": _by_tree(_cap), "uncap": _uncap,
    "set": _by_tree(_set),
}  # fmt: skip
