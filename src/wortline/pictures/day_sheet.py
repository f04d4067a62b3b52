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
SIZES_PT = {"one": (10.5, 10.0, 9.5), "two": (10.0, 9.5, 9.0, 8.5)}
"""Letters tried from the largest, in one column, then in two.

A day that does not fit with the smallest runs on to a second page: smaller letters cannot be read
in steam.
"""

PAGE = """
#let sheet = json(bytes(sys.inputs.sheet))
#let sizes = json(bytes(sys.inputs.sizes))
#set document(title: sheet.title + ", day sheet", author: "Wortline")
#set page(paper: sys.inputs.paper, margin: (x: 12mm, top: 9mm, bottom: 12mm))
#set page(footer-descent: 3mm, footer: context {
  set text(size: 7.5pt, fill: rgb("#565c66"))
  grid(columns: (1fr, auto), [Numbers are information, never permission. Wiring, gas, back-flow,
    pressure and ventilation: local code and licensed practice.],
    [page #counter(page).display("1 of 1", both: true)])
})
#set text(font: "Libertinus Serif", lang: "en", fill: rgb("#1c2026"))
#set par(leading: 0.39em)
#let grey = rgb("#565c66")
#let accent = rgb("#b23a0e")
// As high as the letters of its line, whatever it reaches above and below them.
#let box-to-tick(size) = box(width: size * 0.82, height: size * 0.65,
  place(dy: size * -0.09, box(width: size * 0.82, height: size * 0.82, stroke: 0.8pt)))
#let blank = box(width: 15mm, height: 0.6em, stroke: (bottom: 0.8pt))

#let act(each, size) = {
  let words = if each.kind == "dose" { strong(each.text) } else { each.text }
  let quiet = each.kind == "handles" or each.kind == "lead"
  let words = if quiet { text(fill: grey, words) } else { words }
  // What is measured is written at the right end of the last line, or of one more; the empty box
  // and the joiner keep the space with what it pushes.
  let to-write = if each.blank == "" { [] } else {
    [ #box(width: 0pt)#h(1fr)#sym.wj#box(text(fill: grey, size: 0.88em)[#lower(each.blank) #blank])]
  }
  grid(columns: (size * 1.35, 1fr), column-gutter: 2pt,
    if quiet { [] } else { box-to-tick(size) }, [#words#to-write])
}

#let moment(step, size) = {
  set text(size: size)
  block(breakable: false, width: 100%, above: 0pt, below: 0pt,
    stroke: (top: 0.4pt + rgb("#c6c9ce")), inset: (y: size * 0.3),
    grid(columns: (size * 2.2, 1fr), column-gutter: size * 0.3, row-gutter: size * 0.44,
      ..step.cautions.map(each => ([], block(stroke: (left: 2.5pt + accent), inset: (left: 5pt),
        [#text(weight: "bold", fill: accent)[Caution:] #text(each)]))).flatten(),
      text(weight: "bold", step.clock),
      stack(spacing: size * 0.42, ..step.acts.map(each => act(each, size)))))
}
#let day(size) = for step in sheet.steps { moment(step, size) }

#let gutter = 6mm
// Where the second column begins, so that the longer one is as short as can be; and its height.
#let halved(size, width) = {
  let heights = sheet.steps.map(step => measure(block(width: width, moment(step, size))).height)
  let all = heights.sum(default: 0pt)
  let (best, at, above) = (all, heights.len(), 0pt)
  for (place, height) in heights.enumerate() {
    above += height
    let longer = calc.max(above, all - above)
    if longer < best { (best, at) = (longer, place + 1) }
  }
  (at: at, height: best)
}
#let beside(size, width) = {
  let at = halved(size, width).at
  grid(columns: (1fr, 1fr), column-gutter: gutter,
    ..(sheet.steps.slice(0, at), sheet.steps.slice(at)).map(steps =>
      for step in steps { moment(step, size) }))
}

#let head(size) = {
  set text(size: size)
  for each in sheet.cants {
    block(fill: rgb("#fdeee2"), inset: 4pt, width: 100%, below: 4pt,
      [#text(weight: "bold")[This plan does not fit.] #text(each)])
  }
  grid(columns: (1fr, 1fr), column-gutter: 8mm,
    [== Weigh out
     #stack(spacing: size * 0.46, ..sheet.weigh.map(((mass, what)) => grid(
       columns: (size * 1.35, size * 4.6, 1fr), column-gutter: 2pt,
       box-to-tick(size), align(right, text(weight: "bold", mass)) , pad(left: 4pt, text(what)))))],
    [== Where it should end
     #grid(columns: (1fr, auto), row-gutter: size * 0.4,
       ..sheet.numbers.map(((what, value)) =>
         (text(fill: grey, what), align(right, strong(value)))).flatten())])
  [== The day, hours:minutes from the first water]
}

#show heading.where(level: 1): set text(size: 15pt, weight: "regular")
#show heading.where(level: 2): set text(size: 1em, weight: "bold")
#show heading: set block(above: 0.4em, below: 0.45em)
#let name = grid(columns: (1fr, auto), column-gutter: 6mm, align: bottom,
  [= #sheet.title
   #text(size: 9.5pt, fill: grey, sheet.where)],
  text(size: 9.5pt)[brewed on #box(width: 28mm, stroke: (bottom: 0.8pt), height: 0.9em)])
#layout(room => {
  let high(what, width) = measure(block(width: width, what)).height
  let free(size) = room.height - high(name + head(size), room.width) - 2mm
  let width = (room.width - gutter) / 2
  let points(how) = sizes.at(how).map(each => each * 1pt)
  let whole = points("one").filter(size => high(day(size), room.width) <= free(size))
  let two = points("two").filter(size => halved(size, width).height <= free(size))
  name
  if whole.len() > 0 { head(whole.first()); day(whole.first()) }
  else if two.len() > 0 { head(two.first()); beside(two.first(), width) }
  else { head(9pt); columns(2, gutter: gutter, day(9pt)) }
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
        The PDF file. The letters are as large as lets the day fit on one page, in one column or in
        two; a day too long for that runs on.

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
