"""A page for a friend: one plan as one HTML file that needs no network and no script."""

import base64
import hashlib
from html import escape

from wortline.app.comparing import day_length, figures
from wortline.app.day_sheet import DaySheet, day_sheet
from wortline.app.drawing import System, strip_svg
from wortline.app.planning import Planned

WIDE_PX, NARROW_PX = 1100, 350

STYLE = """
:root { --ink: #1c2026; --grey: #565c66; --rule: #c6c9ce; --ground: #ffffff; --warm: #fdeee2;
  --accent: #b23a0e; --band: #efefec; color-scheme: light dark; }
@media (prefers-color-scheme: dark) { :root { --ink: #e9e6df; --grey: #b3b5b8; --rule: #4a4f57;
  --ground: #17191d; --warm: #3a2a20; --accent: #f0a27c; --band: #23262b; } }
* { box-sizing: border-box; }
body { margin: 0 auto; max-width: 74rem; padding: 1rem clamp(0.7rem, 3vw, 2rem) 3rem;
  background: var(--ground); color: var(--ink); line-height: 1.45;
  font: 1.1rem/1.45 "Libertinus Serif", Georgia, Cambria, "Times New Roman", serif; }
h1 { font-size: 2.1rem; font-weight: normal; margin: 0.4rem 0; line-height: 1.15; }
h2 { font-size: 1.4rem; font-weight: normal; margin: 1.8rem 0 0.4rem; }
p, li { max-width: 44rem; }
h1, h2, p, li, dt, dd, figcaption { overflow-wrap: anywhere; }
.quiet { color: var(--grey); font-size: 0.9rem; }
.figures { display: grid; grid-template-columns: repeat(auto-fill, minmax(10.5rem, 1fr));
  gap: 0.6rem 1.2rem; margin: 1rem 0; }
.figures div { border-top: 2px solid var(--ink); padding-top: 0.25rem; }
dt { color: var(--grey); font-size: 0.9rem; }
dd { margin: 0; font-size: 1.4rem; }
dd span { display: block; font-size: 0.85rem; color: var(--grey); }
figure { margin: 1rem 0; }
svg { display: block; width: 100%; height: auto; }
.narrow { display: none; }
.pipes { display: grid; grid-template-columns: repeat(auto-fill, minmax(15rem, 1fr)); gap: 1.5rem; }
.pipes svg { max-height: 32rem; }
.day { list-style: none; padding: 0; }
.day > li { display: grid; grid-template-columns: 3.4rem minmax(0, 1fr); gap: 0 0.6rem;
  border-top: 1px solid var(--rule); padding: 0.35rem 0; max-width: none; }
.day ul { list-style: none; padding: 0; margin: 0; }
.caution { border-left: 4px solid var(--accent); padding-left: 0.6rem; margin: 0 0 0.2rem; }
.cant { border-left: 4px solid var(--accent); background: var(--warm); padding: 0.5rem 0.8rem; }
svg [fill="#1c2026"], svg text:not([fill]) { fill: var(--ink); }
svg [fill="#565c66"] { fill: var(--grey); } svg [fill="#c6c9ce"] { fill: var(--rule); }
svg [fill="#ffffff"] { fill: var(--ground); } svg [fill="#efefec"] { fill: var(--band); }
svg [fill="#fdeee2"] { fill: var(--warm); } svg [fill="#b23a0e"] { fill: var(--accent); }
svg [stroke="#1c2026"] { stroke: var(--ink); } svg [stroke="#565c66"] { stroke: var(--grey); }
svg [stroke="#c6c9ce"] { stroke: var(--rule); } svg [stroke="#ffffff"] { stroke: var(--ground); }
svg [stroke="#b23a0e"] { stroke: var(--accent); }
@media (max-width: 46rem) { .wide { display: none; } .narrow { display: block; }
  body { font-size: 1rem; } }
@media print { :root { --ink: #1c2026; --grey: #565c66; --rule: #c6c9ce; --ground: #ffffff;
  --warm: #fdeee2; --accent: #b23a0e; --band: #efefec; } body { font-size: 10pt; } }
"""


def style_digest() -> str:
    """The digest by which a content policy knows the style of the page."""
    digest = hashlib.sha256(STYLE.encode()).digest()
    return f"sha256-{base64.b64encode(digest).decode()}"


def show_page(planned: Planned, system: System = "metric") -> str:
    """Return one plan as a whole HTML page: picture, numbers, the day, and what is not sure."""
    report, sheet = planned.report, day_sheet(planned, system)
    wide = strip_svg(report, system, WIDE_PX, bare=True, prefix="wide-")
    narrow = strip_svg(report, system, NARROW_PX, bare=True, prefix="narrow-")
    title = escape(sheet.title)
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<link rel="icon" href="data:,">\n'
        f"<title>{title}, a brewing day</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<main>\n"
        f"<h1>{title}</h1>\n<p>A brewing day {escape(sheet.where)}, planned before it was brewed."
        "</p>\n"
        f"{_cants(sheet)}"
        f'<figure><div class="wide">{wide}</div><div class="narrow">{narrow}</div></figure>\n'
        f"{_figures(planned, system)}{_weigh(sheet)}{_day(sheet)}{_pipes(sheet)}{_unsure(planned)}"
        '<p class="quiet">Numbers are information, never permission: wiring, gas, back-flow'
        " prevention, pressure vessels and ventilation are for local code and licensed practice."
        "</p>\n</main>\n</body>\n</html>\n"
    )


def _cants(sheet: DaySheet) -> str:
    return "".join(
        f'<p class="cant"><b>This plan does not fit.</b> {escape(each)}</p>\n'
        for each in sheet.cants
    )


def _figures(planned: Planned, system: System) -> str:
    rows = [
        f"<div><dt>{escape(each.title)}</dt><dd>{escape(each.text)}"
        f"<span>{escape(each.trust)}{', ' if each.range else ''}{escape(each.range)}</span></dd>"
        "</div>\n"
        for each in figures(planned.report, system)
    ]
    length = f"<div><dt>Length of the day</dt><dd>{day_length(planned.report)} h</dd></div>\n"
    return f'<h2>The few numbers</h2>\n<dl class="figures">\n{"".join(rows)}{length}</dl>\n'


def _weigh(sheet: DaySheet) -> str:
    rows = "".join(
        f"<li>{escape(mass)} {escape(what)}</li>\n" if mass else f"<li>{escape(what)}</li>\n"
        for mass, what in sheet.weigh
    )
    return f"<h2>What goes in</h2>\n<ul>\n{rows}</ul>\n"


def _day(sheet: DaySheet) -> str:
    steps = []
    for step in sheet.steps:
        cautions = "".join(
            f'<p class="caution"><b>Caution:</b> {escape(each)}</p>' for each in step.cautions
        )
        acts = "".join(f"<li>{escape(each.text)}</li>" for each in step.acts)
        steps.append(
            f"<li><b>{escape(step.clock)}</b><div>{cautions}<ul>{acts}</ul></div></li>\n"
        )
    return (
        "<h2>The day</h2>\n<p class=\"quiet\">Hours and minutes from the first water.</p>\n"
        f'<ol class="day">\n{"".join(steps)}</ol>\n'
    )


def _pipes(sheet: DaySheet) -> str:
    """The pipes as they stand, once for each line-up."""
    if not sheet.line_ups:
        return ""
    figures_ = "".join(
        f"<figure><figcaption><b>{escape(each.caption)}</b><br>{escape(each.words)}</figcaption>"
        f"{each.svg}</figure>\n"
        for each in sheet.line_ups
    )
    return f'<h2>The pipes</h2>\n<div class="pipes">\n{figures_}</div>\n'


def _unsure(planned: Planned) -> str:
    """What is not proven: the numbers that are guesses, and the notes."""
    report = planned.report
    guessed = [each.title for each in figures(report) if each.trust == "guess"]
    said = f"<p>Only a guess: {escape(', '.join(guessed))}.</p>\n" if guessed else ""
    notes = "".join(f"<li>{escape(each['text'])}</li>\n" for each in report["notes"])
    return f"<h2>What is not sure, and why</h2>\n{said}<ul>\n{notes}</ul>\n"
