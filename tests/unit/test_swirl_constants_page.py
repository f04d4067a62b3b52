"""The page about the whirlpool says of every constant what the code says."""

from pathlib import Path

from wortline.science.swirl_constants import KNOWN
from wortline.science.swirl_solids import BREAK_SHARES, BREAK_UM, HOP_SHARES, HOP_UM

PAGE = Path(__file__).parents[2] / "docs" / "whirlpool.md"


def test_every_constant_is_on_the_page_with_its_basis():
    text = PAGE.read_text(encoding="utf-8")
    for name, known in KNOWN.items():
        ends = f"{known.low:g} to {known.high:g}"
        assert f"| `{name}` | {known.value:g} | {ends} | {known.basis} | {known.why} |" in text
    assert text.count("\n| `") == len(KNOWN)


def test_the_sizes_are_on_the_page():
    text = " ".join(PAGE.read_text(encoding="utf-8").split())
    for sizes, shares in ((BREAK_UM, BREAK_SHARES), (HOP_UM, HOP_SHARES)):
        said = [f"{size:g}" for size in sizes]
        assert f"{', '.join(said[:-1])} and {said[-1]} um" in text
        parts = [f"{100 * share:g}" for share in shares]
        assert f"{', '.join(parts[:-1])} and {parts[-1]} %" in text


def test_every_basis_is_one_of_three_words():
    assert {known.basis for known in KNOWN.values()} == {"measured", "derived", "chosen"}
    assert all(known.low <= known.value <= known.high for known in KNOWN.values())
