"""A reason as text: the number, its formula, what it rests on, where that is from."""

from typing import Any

from wortline.cli.layout import paragraph


def reasons(explained: dict[str, Any]) -> str:
    """The answer to `why` in plain words."""
    value = explained["value"]
    lines = [f"{explained['key']} = {'unknown' if value is None else f'{value:.6g}'}"]
    lines += paragraph(explained["what"])
    spread = explained["range"]
    if spread:
        lines += paragraph(
            f"10 to 90 %: {spread['low']:.6g} to {spread['high']:.6g}, {spread['trust']};"
            f" mostly because of {' and '.join(spread['because'])}."
        )
    lines += ["", "Formula"]
    lines += paragraph(explained["formula"], "  ")
    if explained["inputs"]:
        lines += ["", "Inputs (* leads the range)"]
    for each in explained["inputs"]:
        mark = "*" if each["leads"] else " "
        spread_text = f" +/- {each['spread']:.3g}" if each["spread"] else ""
        unit = "" if each["unit"] == "-" else f" {each['unit']}"
        text = (
            f"{each['name']} = {each['value']:.6g}{unit}{spread_text}"
            f" [{each['trust']}: {each['source'] if each['source'] != 'typed' else each['text']}]"
        )
        lines += paragraph(text, f"{mark} ", "      ")
    lines += ["", "Sources"]
    for source in explained["sources"]:
        lines += paragraph(f"{source['function']}: {source['references']}", "  ", "      ")
    return "\n".join(lines)
