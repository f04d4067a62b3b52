"""From the text a person typed to a number in the core unit of its kind."""

import difflib
import itertools
import math
import re
import unicodedata
from functools import lru_cache

from wortline.errors import Question, UnitError, UnitMismatch, Unreadable
from wortline.units.gravity import sg_from_plato
from wortline.units.kinds import KINDS, PLATO, Kind, Unit

LONGEST = 200

_NUMBER = (
    r"[+-]?(?:[0-9]+\s+[0-9]+/[0-9]+|[0-9]+/[0-9]+"
    r"|(?:[0-9][0-9.,']*|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?)"
)
_UNIT = (
    r"""(?:[^\W\d_]|[%°"']|/(?=\s*[^\W\d_]))(?:[^\W\d_]|[%°./()^ ]"""
    r"|(?<=[^\W\d_])-(?=[^\W\d_])|(?<=[mnt])\^?[23]|(?<=\^)[23])*"
)
_TERM = re.compile(rf"\s*({_NUMBER})\s*({_UNIT})?\s*")
_PLUS = re.compile(r"(?<![0-9][eE])\+")
_RANGE = re.compile(r"[0-9]\s*(?:[-–—]|to|\.\.+)\s*[0-9]")
_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")


def short(text: str, most: int = 60) -> str:
    """Return a typed text cut to a length that can be printed."""
    flat = "".join(character if character.isprintable() else " " for character in text)
    return flat if len(flat) <= most else flat[: most - 3] + "..."


def parse(text: str, kind: str, gallons: str | None = None, british: bool = False) -> float:
    """Return a typed quantity in the core unit of its kind.

    Parameters
    ----------
    text
        As typed: ``23 L``, ``12 lb 3 oz``, ``1.5 oz + 20 g``, ``5,25 gal``.
    kind
        A key of `KINDS`.
    gallons
        ``us`` or ``imperial`` where the document says so.
    british
        Whether the document comes from where a gallon is the imperial one.

    Returns
    -------
    float
        The quantity, in ``KINDS[kind].core`` [core unit of the kind].

    Raises
    ------
    Unreadable
        If the text is no finite quantity.
    UnitMismatch
        If it is a quantity of another kind.
    Question
        If it has two readings.
    """
    wanted = KINDS[kind]
    typed = _plain(text)
    parts = _parts(typed, wanted)
    terms = [term for part in parts for term in part]
    if len(terms) > 1 and not wanted.summed:
        raise Unreadable(f"`{short(text)}` adds up {wanted.noun[2:]}s, which has no meaning here")
    if any(not unit for _, unit in terms) and (len(terms) > 1 or not wanted.bare):
        _complain_bare(terms, typed, wanted)
    reader = _Reader(kind, gallons, british)
    total = sum(reader.core(_number(number, wanted), unit, typed) for number, unit in terms)
    for part in parts:
        sizes = [reader.core(1.0, unit, typed) for _, unit in part[1:] and part]
        falls = all(first > second for first, second in itertools.pairwise(sizes))
        if not falls or any(number[0] in "+-" for number, _ in part[1:]):
            raise Unreadable(f"`{short(text)}` has no `+` between its parts; write what is added")
    if not math.isfinite(total):
        raise Unreadable(f"`{short(text)}` is too large to be {wanted.noun}")
    return total


def units_in(text: str, kind: str) -> tuple[str, ...]:
    """Return the units of a typed quantity, as the table spells them.

    Raises
    ------
    Unreadable
        If the text is no quantity.
    """
    return tuple(unit for part in _parts(_plain(text), KINDS[kind]) for _, unit in part)


def _plain(text: str) -> str:
    if re.search(r"[0-9][²³¹⁰-₉]", text):
        raise Unreadable(f"`{short(text)}` has a raised digit after a number; write it out")
    apart = re.sub(r"(?<=[0-9])(?=[¼-¾⅐-⅞])", " ", text)
    typed = unicodedata.normalize("NFKC", apart).strip()
    for odd, usual in (("−", "-"), ("⁄", "/"), ("’", "'"), ("″", '"'), ("′", "'")):
        typed = typed.replace(odd, usual)
    if not typed:
        raise Unreadable("it is empty")
    if len(typed) > LONGEST:
        raise Unreadable(f"`{short(typed)}` is too long to be a quantity")
    return typed


def _parts(typed: str, wanted: Kind) -> list[list[tuple[str, str]]]:
    """Return what stands between the `+` signs, each a list of number and unit."""
    if _RANGE.search(typed) and not re.search(r"[0-9][eE]-[0-9]", typed):
        raise Unreadable(
            f"`{short(typed)}` looks like a range; write one value, "
            f"or {{value: {wanted.example}, spread: ...}}"
        )
    parts: list[list[tuple[str, str]]] = []
    for part in _PLUS.split(typed.removeprefix("+")):
        at = 0
        parts.append([])
        while match := _TERM.match(part, at):
            parts[-1].append((match[1], spelling(match[2] or "")))
            at = match.end()
            if at == len(part):
                break
        if not match:
            raise Unreadable(
                f"`{short(typed)}` is not {wanted.noun}; write it like `{wanted.example}`"
            )
    return parts


# The few units of a plan are spelt hundreds of times for each of its pages.
@lru_cache(maxsize=256)
def spelling(unit: str) -> str:
    """Return a unit as the table spells it: lower case, no dots, one space, `/` for per."""
    plain = re.sub(r"[.()^]", " ", unit.lower().replace("°", " deg "))
    plain = re.sub(r"\bdeg(?:ree)?s?\b\s*", "deg", plain).replace("-", " ")
    plain = re.sub(r"\s*(?:/|\bper\b(?! cent\b))\s*", "/", plain)
    plain = re.sub(r"\bu s\b", "us", plain)
    plain = re.sub(r"(?<=m|n|t) (?=[23]\b)", "", plain)
    return " ".join(plain.split())


def _number(text: str, wanted: Kind) -> float:
    if "/" in text:
        whole, _, share = text.rpartition(" ")
        above, _, below = share.partition("/")
        if not float(below):
            raise Unreadable(f"`{short(text)}` divides by zero")
        sign = -1.0 if text.startswith("-") else 1.0
        return float(whole or 0) + sign * abs(float(above)) / float(below)
    if _THOUSANDS.fullmatch(text) and wanted.core != "SG":
        apart = text.replace(",", ".")
        joined = text.replace(",", "")
        raise Question(
            f"`{text}` has two readings: {apart} (decimal comma) or {joined} (thousands); "
            f"write `{apart}` or `{joined}`",
            (apart, joined),
        )
    bare = text.replace("'", "")
    if bare.endswith(","):
        raise Unreadable(f"`{short(text)}` ends in a comma")
    commas, dots = bare.count(","), bare.count(".")
    if commas and dots:
        decimal = max(",.", key=bare.rfind)
        other = ",."[decimal == ","]
        groups = bare.rpartition(decimal)[0].lstrip("+-").split(other)
        bare = bare.replace(other, "").replace(decimal, ".")
    else:
        several = "," if commas > 1 else "." if dots > 1 else ""
        groups = bare.lstrip("+-").split(several) if several else []
        bare = bare.replace(several, "") if several else bare.replace(",", ".")
    if groups and (len(groups[0]) > 3 or any(len(group) != 3 for group in groups[1:])):
        raise Unreadable(f"`{short(text)}` is not a number that can be read")
    try:
        value = float(bare)
    except ValueError:
        raise Unreadable(f"`{short(text)}` is not a number that can be read") from None
    if not math.isfinite(value):
        raise Unreadable(f"`{short(text)}` is too large to be {wanted.noun}")
    return value


def _complain_bare(terms: list[tuple[str, str]], typed: str, wanted: Kind) -> None:
    if len(terms) > 1:
        raise Unreadable(
            f"`{short(typed)}` has a number without a unit; each part needs one, "
            f"like `{wanted.example}`"
        )
    number = terms[0][0]
    value = _number(number, wanted)
    if wanted.likely == ("%",):
        whole = f"{value * 100:.6g} %" if abs(value) <= 1 else f"{number} %"
        part = f"{number} %" if abs(value) <= 1 else f"{value / 100:.6g} %"
        readings: tuple[str, ...] = (whole, part)
    else:
        readings = tuple(f"{number} {unit}" for unit in wanted.likely)
    named = " or ".join(f"`{reading}`" for reading in readings)
    raise Question(f"`{short(typed)}` has no unit: do you mean {named}?", readings)


class _Reader:
    """Reads one number with its unit, for one kind and one document's gallons."""

    def __init__(self, kind: str, gallons: str | None, british: bool) -> None:
        self.kind = kind
        self.wanted = KINDS[kind]
        self.gallons = gallons
        self.british = british

    def core(self, number: float, unit: str, typed: str) -> float:
        if self.kind == "gravity" and unit in PLATO:
            return sg_from_plato(number, typed)
        found = self._unit(self.kind, unit, number, typed)
        if found is None:
            raise self._stranger(unit, typed)
        return found.core(number)

    def _ask(self, number: float, units: tuple[str, str], typed: str) -> None:
        readings = tuple(f"{number:.10g} {unit}" for unit in units)
        raise Question(
            f"`{short(typed)}` has two readings: {readings[0]} or {readings[1]}; say which",
            readings,
        )

    def _unit(self, kind: str, unit: str, number: float, typed: str) -> Unit | None:
        table = KINDS[kind]
        if unit in table.questions:
            self._ask(number, table.questions[unit], typed)
        found = table.units.get(unit)
        if found is None and table.over:
            above, below, times = table.over
            short_hand = {"lpm": "l/min", "gpm": "gal/min", "gph": "gal/h", "lph": "l/h"}
            first, _, second = short_hand.get(unit, unit).partition("/")
            top = self._unit(above, first, number, typed)
            bottom = self._unit(below, second, number, typed)
            return Unit(top.factor / bottom.factor * times) if top and bottom else None
        if found is None or found.imperial is None:
            return found
        if self.gallons is None and self.british:
            us, imperial = (
                f"{number:.10g} {name} {unit} ({number * factor:.4g} L{self._per})"
                for name, factor in (("US", found.factor), ("imp", found.imperial))
            )
            raise Question(
                f"`{short(typed)}` has two readings, since the origin is British: {us} or "
                f"{imperial}; write the unit in full or `gallons: us` or `gallons: imperial` "
                "at the top",
                (us, imperial),
            )
        return Unit(found.imperial) if self.gallons == "imperial" else Unit(found.factor)

    @property
    def _per(self) -> str:
        return " for each" if self.wanted.over else ""

    def _stranger(self, unit: str, typed: str) -> UnitError:
        reader = _Reader(self.kind, "us", False)
        for kind, other in KINDS.items():
            try:
                known = kind != self.kind and bool(reader._unit(kind, unit, 1.0, typed))
            except Question:
                continue
            if unit and (known or (kind == "gravity" and unit in PLATO)):
                return UnitMismatch(
                    f"`{short(typed)}` is {other.noun}; here {self.wanted.noun} is needed, "
                    f"like `{self.wanted.example}`"
                )
        near = difflib.get_close_matches(unit, self.wanted.units, n=1)
        hint = f"; did you mean `{near[0]}`?" if near else ";"
        return Unreadable(
            f"`{short(typed)}` has a unit that is not known for {self.wanted.noun}{hint} "
            f"write it like `{self.wanted.example}`"
        )
