"""The printed sheet typed in afterwards: its places in its order, each with a value and a time."""

from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from wortline.errors import RecordRefused
from wortline.web.rendering import render
from wortline.web.services import Given, Number, Services

router = APIRouter(include_in_schema=False)
MOST_TYPED = 80
IN_ALREADY = (
    "The record has this place already, and what you typed says something else. Empty this place"
    " to go on; to change the record: `wortline lot say {number} correct ENTRY VALUE`."
)


@router.get("/lots/{number}/paper")
def paper_page(request: Request, given: Given, number: Number) -> Response:
    """Show every place of the sheet that is not in the record yet."""
    return _page(request, given, number, {}, {}, given.watch.new_id())


@router.post("/lots/{number}/paper")
async def paper_typed(request: Request, given: Given, number: Number) -> Response:
    """Keep everything that was typed, in the order of the sheet, or say what is not understood."""
    from wortline.app.lot_paper import is_in, put_by, put_in, understood
    from wortline.app.lots import lot_of
    from wortline.lot.paper import blanks

    typed = {key: str(value).strip() for key, value in (await request.form()).items()}
    form = typed.pop("form", "") or given.watch.new_id()
    opened = lot_of(given.lots, number)
    read, wrong = [], {}
    for blank in blanks(opened.day):
        value, at = typed.get(f"value {blank.key}", ""), typed.get(f"at {blank.key}", "")
        if not value and not at:
            continue
        try:
            _bounded(value, at)
            found = understood(opened, blank, f"{value} @ {at}" if at else value)
        except RecordRefused as refusal:
            wrong[blank.key] = str(refusal)
            continue
        if not is_in(opened, blank):
            read.append(found)
        elif not put_by(opened, form, found):
            wrong[blank.key] = IN_ALREADY.format(number=number)
    if wrong:
        return _page(request, given, number, typed, wrong, form)
    put_in(given.lots, given.watch, number, read, form, given.shelf)
    return RedirectResponse(f"/lots/{number}", 303)


def _bounded(*texts: str) -> None:
    """Refuse what is too long to be a value or a time, rather than cut it."""
    for text in texts:
        if len(text) > MOST_TYPED:
            raise RecordRefused(
                f"`{text[:20]}...` has {len(text)} letters; write at most {MOST_TYPED} here"
            )


def _page(
    request: Request,
    given: Services,
    number: int,
    typed: dict[str, str],
    wrong: dict[str, str],
    form: str,
) -> Response:
    from wortline.app.lot_paper import is_in
    from wortline.app.lots import lot_of
    from wortline.lot.paper import blanks

    opened = lot_of(given.lots, number)
    places: list[dict[str, Any]] = [
        {
            "key": blank.key,
            "kind": blank.kind,
            "text": blank.text,
            "kept": is_in(opened, blank),
            "value": typed.get(f"value {blank.key}", ""),
            "at": typed.get(f"at {blank.key}", ""),
            "wrong": wrong.get(blank.key, ""),
        }
        for blank in blanks(opened.day)
    ]
    return render(
        request,
        "lot_paper.html",
        422 if wrong else 200,
        title=f"The sheet of lot {number}",
        lot=opened.lot,
        places=places,
        form=form,
        wrong=len(wrong),
    )
