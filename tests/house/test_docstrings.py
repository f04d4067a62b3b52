"""Every public function of science says what it takes and gives, in which unit, and from whom."""

import ast
import re
from pathlib import Path

import pytest

SCIENCE = Path(__file__).parents[2] / "src" / "wortline" / "science"

# Suffix of a name -> the unit its text has to end in. One unit per kind of quantity.
UNITS = {
    "c": ("C",),
    "dk": ("K",),
    "k_min": ("K/min",),
    "l": ("L",),
    "l_kg": ("L/kg",),
    "l_min": ("L/min",),
    "l_h": ("L/h", "L/h at 20 C"),
    "kg": ("kg",),
    "kg_m3": ("kg/m3",),
    "min": ("min",),
    "per_min": ("1/min",),
    "w": ("W",),
    "w_k": ("W/K",),
    "w_m2": ("W/m2",),
    "w_m2_k": ("W/(m2 K)",),
    "kj": ("kJ",),
    "kj_kg": ("kJ/kg",),
    "kj_k": ("kJ/K",),
    "kj_kg_k": ("kJ/(kg K)",),
    "kwh": ("kWh",),
    "kcal": ("kcal",),
    "kpa": ("kPa",),
    "pa": ("Pa",),
    "mpa_s": ("mPa s",),
    "rad_s": ("rad/s",),
    "n_m": ("N m",),
    "kg_m2": ("kg m2",),
    "m": ("m",),
    "m_s": ("m/s",),
    "m2_s": ("m2/s",),
    "m2": ("m2",),
    "um": ("um",),
    "nm": ("nm",),
    "g_l": ("g/L",),
    "mg_l": ("mg/L",),
    "mg_kg": ("mg/kg",),
    "ug_l": ("ug/L",),
    "ibu": ("IBU",),
    "sg": ("-", "sg"),
    "plato": ("degP",),
    "ebc": ("EBC",),
    "srm": ("SRM", "-"),
    "lovibond": ("degL", "-"),
}
# Longest first: `loss_per_min` is a rate, not a time. In `plato_from_sg` the sg is what goes in.
SUFFIX = re.compile(rf"(?:^|(?<!_from)_)({'|'.join(sorted(UNITS, key=len, reverse=True))})$")
NUMBER = re.compile(r"\b(Real|float|floating|ndarray|NDArray)\b")
UNIT = re.compile(r"\[([^\]]+)\]\.?$")


def public_functions() -> list[tuple[str, ast.FunctionDef]]:
    return [
        (f"{path.stem}.{node.name}", node)
        for path in sorted(SCIENCE.glob("*.py"))
        for node in ast.parse(path.read_text(encoding="utf-8")).body
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    ]


def sections(docstring: str) -> dict[str, str]:
    """Return the numpydoc sections by name; what stands before the first is called Summary."""
    parts = re.split(r"^(\w[\w ]*)\n-{3,}\n", docstring + "\n", flags=re.MULTILINE)
    return {"Summary": parts[0], **dict(zip(parts[1::2], parts[2::2], strict=True))}


def entries(section: str) -> list[tuple[str, str, str]]:
    """Return name, type and text of each entry; an unnamed return value has the name ''."""
    found = []
    for head, body in re.findall(r"^(\S.*)\n((?:[ ]+.*\n|\n)*)", section, flags=re.MULTILINE):
        name, colon, kind = head.partition(" : ")
        found.append((name if colon else "", kind if colon else head, " ".join(body.split())))
    return found


def unit_of(text: str) -> str | None:
    match = UNIT.search(text)
    return match[1] if match else None


FUNCTIONS = public_functions()
each_function = pytest.mark.parametrize(("name", "function"), FUNCTIONS, ids=dict(FUNCTIONS))


@each_function
def test_says_what_it_does_and_from_whom(name: str, function: ast.FunctionDef) -> None:
    found = sections(ast.get_docstring(function) or "")
    assert re.match(r"\S.*\.\n", found["Summary"]), "the first line is a sentence"
    # the small mathematical tools publish nothing: they follow from their definition
    if not name.startswith("numerics."):
        assert found.get("References", "").strip(), "References says who published it"
    assert "Returns" in found or "Yields" in found


@each_function
def test_every_parameter_is_described_with_its_unit(name: str, function: ast.FunctionDef) -> None:
    described = {
        each.lstrip("*"): (kind, text)
        for names, kind, text in entries(
            sections(ast.get_docstring(function) or "").get("Parameters", "")
        )
        for each in re.split(r",\s*", names)
    }
    arguments = function.args.posonlyargs + function.args.args + function.args.kwonlyargs
    if function.args.vararg:
        arguments.append(function.args.vararg)
    assert list(described) == [a.arg for a in arguments], "described as declared, in order"
    for argument in arguments:
        declared = ast.unparse(argument.annotation) if argument.annotation else ""
        kind, text = described[argument.arg]
        if not NUMBER.search(declared) or "Callable" in declared:
            continue
        assert unit_of(text), f"{argument.arg} ({kind}) ends in its unit: {text!r}"
        suffix = SUFFIX.search(argument.arg)
        allowed = UNITS[suffix[1]] if suffix else ("-",)
        assert unit_of(text) in allowed, f"{argument.arg} is in {allowed}, not {unit_of(text)}"


@each_function
def test_every_returned_number_has_its_unit(name: str, function: ast.FunctionDef) -> None:
    returned = entries(sections(ast.get_docstring(function) or "").get("Returns", ""))
    assert returned
    numbers = [(part, text) for part, kind, text in returned if NUMBER.search(kind)]
    for part, text in numbers:
        assert unit_of(text), f"{part or 'the result'} ends in its unit: {text!r}"
        suffix = SUFFIX.search(part)
        if suffix:
            assert unit_of(text) in UNITS[suffix[1]]
    suffix = SUFFIX.search(function.name)
    if suffix and len(numbers) == 1:
        assert unit_of(numbers[0][1]) in UNITS[suffix[1]], f"{name} promises another unit"
