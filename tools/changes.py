"""The changes that doubt makes to a science module, and where in it they apply.

They are those of cosmic-ray: a sign, an operation, a comparison or a keyword is replaced. Constants
have an operator of their own shape.
"""

import ast
import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.operators import (
    binary_operator_replacement,
    boolean_replacer,
    comparison_operator_replacement,
    unary_operator_replacement,
)

SCIENCE = Path(__file__).resolve().parent.parent / "src" / "wortline" / "science"
MODULE_LEVEL = "<module>"
PACKAGE = "wortline.science."

REPLACED = (
    (
        binary_operator_replacement,
        "ReplaceBinaryOperator",
        ("Add_Sub", "Sub_Add", "Mul_Div", "Div_Mul", "Pow_Mul"),
    ),
    (unary_operator_replacement, "ReplaceUnaryOperator", ("Delete_USub", "Delete_Not")),
    (
        comparison_operator_replacement,
        "ReplaceComparisonOperator",
        ("Lt_Gt", "LtE_Gt", "Gt_Lt", "GtE_Lt", "Eq_NotEq", "NotEq_Eq"),
    ),
    (boolean_replacer, "Replace", ("TrueWithFalse", "FalseWithTrue", "AndWithOr", "OrWithAnd")),
)


class Twentieth:
    """Make every constant a twentieth larger; small whole numbers become the next one.

    Adding one, as both kept tools do, is nothing to 1e11 and absurd for 1e-3.
    """

    def mutation_positions(self, node: Any) -> Iterator[tuple[Any, Any]]:
        if node.type == "number":
            yield node.start_pos, node.end_pos

    def mutate(self, node: Any, index: int) -> Any:
        value = ast.literal_eval(node.value)
        if isinstance(value, int):
            changed: float = max(value + 1, round(value * 1.05))
        else:
            changed = float(f"{value * 1.05:.6g}") if value else 1.0
        return type(node)(repr(changed), node.start_pos, prefix=node.prefix)


def operators() -> list[Any]:
    named: list[Any] = [Twentieth()]
    for module, stem, tails in REPLACED:
        joint = "" if module is boolean_replacer else "_"
        named += [getattr(module, f"{stem}{joint}{tail}")() for tail in tails]
    return named


OPERATORS = operators()


@dataclass(frozen=True)
class Change:
    """One change to one module: which operator, at which of the places where it applies."""

    module: str
    function: str
    line: int
    operator: int
    occurrence: int
    place: str
    """The column, and the line as it is."""

    def source(self) -> str:
        return str(mutate_code(source_of(self.module), OPERATORS[self.operator], self.occurrence))

    def lot(self, seed: int) -> bytes:
        """Return what decides whether a sample contains this change; line numbers do not count."""
        what = f"{seed} {self.module}.{self.function} {self.operator} {self.place}"
        return hashlib.sha256(what.encode()).digest()

    def key(self) -> str:
        before = source_of(self.module).splitlines()
        was, becomes = before[self.line - 1].strip(), self.source().splitlines()[self.line - 1]
        return f"`{self.module}.{self.function}`: `{was}` -> `{becomes.strip()}`"


def modules() -> list[str]:
    return sorted(p.stem for p in SCIENCE.glob("*.py") if p.stem != "__init__")


def path_of(module: str) -> str:
    return str(SCIENCE / f"{module}.py")


def source_of(module: str) -> str:
    return Path(path_of(module)).read_text(encoding="utf-8")


def changes_of(module: str) -> list[Change]:
    """Return every change of one module, in a fixed order."""
    text = source_of(module)
    spans = [
        (node.lineno, node.end_lineno or node.lineno, node.name)
        for node in ast.parse(text).body
        if isinstance(node, ast.FunctionDef | ast.ClassDef)
    ]
    nodes, lines = list(ast_nodes(get_ast(text))), text.splitlines()
    found = []
    for number, operator in enumerate(OPERATORS):
        places = [place for node in nodes for place in operator.mutation_positions(node)]
        for occurrence, ((line, column), _) in enumerate(places):
            inside = [name for first, last, name in spans if first <= line <= last]
            function = inside[0] if inside else MODULE_LEVEL
            place = f"{column} {lines[line - 1]}"
            found.append(Change(module, function, line, number, occurrence, place))
    return found


def science_in(text: str) -> set[str]:
    """Return the science modules that a source imports."""
    found: set[str] = set()
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.ImportFrom) and node.module == "wortline.science":
            found |= {name.name for name in node.names}
        elif isinstance(node, ast.ImportFrom) and (node.module or "").startswith(PACKAGE):
            found.add((node.module or "").removeprefix(PACKAGE))
    return found


def importers(module: str) -> set[str]:
    """Return the module and all science modules that import it, however indirectly."""
    uses = {name: science_in(source_of(name)) for name in modules()}
    found = {module}
    while more := {name for name, used in uses.items() if used & found} - found:
        found |= more
    return found
