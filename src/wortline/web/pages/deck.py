"""The deck: one page that holds everything, opens without a server, and never navigates."""

from fastapi import APIRouter, Request, Response

from wortline.web.rendering import render
from wortline.web.services import Number
from wortline.web.statics import FOLDER, static_files

router = APIRouter(include_in_schema=False)
WORKER = "deck-worker.js"
ALONG = ("deck", "mark")


@router.get("/deck")
@router.get("/deck/{number}")
def deck_page(request: Request, number: Number | None = None) -> Response:
    """Return the deck; which lot it shows stands in its address, so that one page serves all."""
    return render(request, "deck.html", title="Deck")


@router.get(f"/{WORKER}")
def worker(request: Request) -> Response:
    """Return the service worker, with the files of this version that it takes along."""
    folder = f"/static/{request.app.state.version}"
    files = [
        f"{folder}/{name}" for name in static_files() if name.startswith(ALONG) and name != WORKER
    ]
    listed = ", ".join(f'"{each}"' for each in files)
    text = (FOLDER / WORKER).read_text(encoding="utf-8")
    head = f'const VERSION = "{request.app.state.version}";\nconst FILES = [{listed}];\n'
    return Response(
        head + text.partition("// ---\n")[2],
        headers={"Cache-Control": "no-cache"},
        media_type="text/javascript",
    )
