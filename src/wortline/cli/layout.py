"""Text in columns: widths as a terminal shows them, where some letters are two columns wide."""

from collections.abc import Iterator
from unicodedata import category, east_asian_width

WIDTH = 78


def columns(text: str) -> int:
    """How many columns a text takes up."""
    return sum(map(_columns, text))


def _columns(letter: str) -> int:
    if category(letter) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if east_asian_width(letter) in "WF" else 1


def cut(text: str, width: int) -> str:
    """The text if it fits, else as much of it as does, ending in two dots."""
    if columns(text) <= width:
        return text
    return next(_pieces(text, width - 2)) + ".."


def left(text: str, width: int) -> str:
    """The text with blanks after it."""
    return text + " " * (width - columns(text))


def right(text: str, width: int) -> str:
    """The text with blanks before it."""
    return " " * (width - columns(text)) + text


def rule(title: str) -> str:
    """A title with a line behind it, as wide as the sheet."""
    return f"{title} ".ljust(WIDTH, "-")


def paragraph(text: str, first: str = "", then: str = "") -> list[str]:
    """A text broken to the width of the sheet."""
    then = then or " " * columns(first)
    lines, line, is_empty = [], first, True
    for word in text.split(" "):
        for index, piece in enumerate(_pieces(word, WIDTH - columns(then))):
            gap = "" if is_empty or index else " "
            if columns(line + gap + piece) > WIDTH and not is_empty:
                lines.append(line.rstrip())
                line, gap = then, ""
            line += gap + piece
            is_empty = False
    return [*lines, line.rstrip()]


def _pieces(word: str, width: int) -> Iterator[str]:
    """A word, in pieces where it is wider than a line."""
    piece = ""
    for letter in word:
        if columns(piece + letter) > width:
            yield piece
            piece = ""
        piece += letter
    yield piece
