"""The sheet of the day as a tagged PDF: one page, and one of the pipes where there are any.

Every text goes to typst as data, never as markup: what a person typed stands there as typed.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, Literal

from wortline.pictures.raster import has_other_scripts

Paper = Literal["a4", "letter"]
PAPERS = {"a4": "a4", "letter": "us-letter"}
SIZES_PT = (10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5, 7.0)
"""Letters tried, from the largest; what does not fit with the smallest goes on to a second page."""

PAGE = """
#let sheet = json(bytes(sys.inputs.sheet))
#let sizes = json(bytes(sys.inputs.sizes))
#set document(title: sheet.title + ", day sheet", author: "Wortline")
#set page(paper: sys.inputs.paper, margin: (x: 14mm, top: 11mm, bottom: 12mm), footer: context {
  set text(size: 7.5pt, fill: rgb("#565c66"))
  grid(columns: (1fr, auto), [Numbers are information, never permission. Wiring, gas, back-flow,
    pressure and ventilation: local code and licensed practice.],
    [page #counter(page).display("1 of 1", both: true)])
})
#set text(font: "Libertinus Serif", lang: "en", fill: rgb("#1c2026"))
#set par(leading: 0.42em)
#let grey = rgb("#565c66")
#let accent = rgb("#b23a0e")
#let box-to-tick(size) = box(width: size * 0.85, height: size * 0.85, stroke: 0.8pt, baseline: 12%)
#let blank = box(width: 17mm, height: 0.9em, stroke: (bottom: 0.8pt))

#let act(each, size) = {
  let words = if each.kind == "dose" { strong(each.text) } else { each.text }
  let quiet = each.kind == "handles" or each.kind == "lead"
  let words = if quiet { text(fill: grey, words) } else { words }
  grid(columns: (size * 1.35, 1fr, auto), column-gutter: 2pt,
    if quiet { [] } else { box-to-tick(size) }, par(hanging-indent: 0pt, words),
    if each.blank != "" { text(fill: grey, size: 0.88em)[#lower(each.blank) #blank] })
}

#let day(size) = {
  set text(size: size)
  for (place, step) in sheet.steps.enumerate() {
    block(breakable: false, width: 100%, above: size * 0.34, below: 0pt,
      stroke: (top: 0.4pt + rgb("#c6c9ce")), inset: (top: size * 0.34),
      grid(columns: (size * 3.1, 1fr), column-gutter: size * 0.5, row-gutter: size * 0.5,
        ..step.cautions.map(each => ([], block(stroke: (left: 2.5pt + accent), inset: (left: 5pt),
          [#text(weight: "bold", fill: accent)[Caution:] #text(each)]))).flatten(),
        text(weight: "bold", step.clock),
        stack(spacing: size * 0.38, ..step.acts.map(each => act(each, size)))))
  }
}

#let head(size) = {
  set text(size: size)
  for each in sheet.cants {
    block(fill: rgb("#fdeee2"), inset: 4pt, width: 100%, below: 4pt,
      [#text(weight: "bold")[This plan does not fit.] #text(each)])
  }
  grid(columns: (1fr, 1fr), column-gutter: 8mm,
    [== Weigh out
     #stack(spacing: size * 0.38, ..sheet.weigh.map(((mass, what)) => grid(
       columns: (size * 1.35, size * 4.6, 1fr), column-gutter: 2pt,
       box-to-tick(size), align(right, text(weight: "bold", mass)) , pad(left: 4pt, text(what)))))],
    [== Where it should end
     #grid(columns: (1fr, auto), row-gutter: size * 0.4,
       ..sheet.numbers.map(((what, value)) =>
         (text(fill: grey, what), align(right, strong(value)))).flatten())])
  v(size * 0.5)
  [== The day, hours:minutes from the first water]
}

#show heading.where(level: 1): set text(size: 17pt, weight: "regular")
#show heading.where(level: 2): set text(size: 1em, weight: "bold")
#show heading: set block(above: 0.5em, below: 0.5em)
#grid(columns: (1fr, auto), column-gutter: 6mm, align: bottom,
  [= #sheet.title
   #text(size: 9.5pt, fill: grey, sheet.where)],
  text(size: 9.5pt)[brewed on #box(width: 28mm, stroke: (bottom: 0.8pt), height: 0.9em)])
#layout(room => {
  let body(size) = [#head(size) #day(size)]
  let fits = sizes.map(each => each * 1pt).filter(size =>
    measure(block(width: room.width, body(size))).height <= room.height - 15mm)
  body(if fits.len() > 0 { fits.first() } else { sizes.last() * 1pt })
})
#if sheet.line_ups.len() > 0 {
  pagebreak()
  set text(size: 9.5pt)
  heading(level: 1)[How the pipes stand]
  let across = if sheet.line_ups.len() > 1 { 2 } else { 1 }
  let rows = calc.ceil(sheet.line_ups.len() / across)
  let high = calc.min(200mm, calc.max(50mm, 232mm / rows - 17mm))
  grid(columns: (1fr,) * across, gutter: 5mm,
    ..sheet.line_ups.map(each => block(breakable: false, width: 100%, [
      #strong(text(each.caption)) \\
      #text(size: 8.5pt, each.words)
      #image(bytes(each.svg), format: "svg", width: 100%, height: high, fit: "contain",
        alt: each.caption + ". " + each.words)])))
}
"""


def day_sheet_pdf(sheet: Mapping[str, Any], paper: Paper = "a4") -> bytes:
    """Return the sheet of a day as a PDF that a screen reader can follow (PDF/UA-1).

    Parameters
    ----------
    sheet : Mapping
        The values of a day sheet: texts, steps, pictures of line-ups.
    paper : str
        `a4` or `letter`.

    Returns
    -------
    bytes
        The PDF file. The letters are as large as lets the day fit on one page.

    Raises
    ------
    ValueError
        If the paper is not known.
    ImportError
        If typst is not installed, as where no wheel of it exists.
    """
    if paper not in PAPERS:
        raise ValueError(f"the sheet is for a4 or letter, not {paper}")
    import typst

    data = json.dumps(sheet, ensure_ascii=False)
    made = typst.compile(
        PAGE.encode(),
        font_paths=typst.Fonts(include_system_fonts=has_other_scripts(data)),
        format="pdf",
        pdf_standards=["ua-1"],
        sys_inputs={"sheet": data, "paper": PAPERS[paper], "sizes": json.dumps(SIZES_PT)},
    )
    if not isinstance(made, bytes):
        raise TypeError("one sheet gave more than one file")
    return made
