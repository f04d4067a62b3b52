"""The application: pages, API, guard and refusals put together."""

from threading import Event
from typing import Any

from fastapi import FastAPI
from starlette.middleware import Middleware
from starlette.middleware.gzip import GZipMiddleware

from wortline.web import statics
from wortline.web.api import documents as api_documents
from wortline.web.api import hot_minutes as api_hot_minutes
from wortline.web.api import lots as api_lots
from wortline.web.api import moves as api_moves
from wortline.web.api import pipes as api_pipes
from wortline.web.api import plans as api_plans
from wortline.web.guard import Guard
from wortline.web.pages import (
    certificate,
    chill,
    choices,
    deck,
    documents,
    history,
    join,
    lots,
    lots_paper,
    pictures,
    pipes,
    pipes_edit,
    plan,
    plan_prints,
    rest,
    rig,
    start,
)
from wortline.web.refusals import REFUSALS, Refused
from wortline.web.services import Services

REFUSED: dict[str, Any] = {"model": Refused, "description": "Refused, with every reason."}
PAGES = (
    start,
    plan,
    plan_prints,
    rig,
    documents,
    pipes,
    pipes_edit,
    rest,
    chill,
    lots,
    lots_paper,
    pictures,
    deck,
    history,
    choices,
    join,
    certificate,
    statics,
    api_documents,
    api_plans,
    api_moves,
    api_pipes,
    api_hot_minutes,
    api_lots,
)
"""Every module of pages or API; each has a `router`, and a `NAV` if it is on the top line."""


KEPT_BYTES = 24 << 20


def keep_memory() -> None:
    """Have the C library keep memory that is given back, up to twice this.

    It takes the largest block that it has seen given back as the measure of what to keep. Without
    it the arrays of every ensemble are asked of the kernel anew, page by page, which takes a third
    of the ensemble's time.
    """
    bytearray(KEPT_BYTES)


def application(services: Services, warm: Event | None = None) -> FastAPI:
    """Return the web face over these services.

    Until `warm` is set, pages leave out what needs the science to be loaded.
    """
    keep_memory()
    app = FastAPI(
        title="Wortline",
        docs_url=None,
        redoc_url=None,
        exception_handlers=dict(REFUSALS),
        responses=dict.fromkeys((422, "4XX"), REFUSED),
    )
    app.state.services = services
    app.state.warm = warm or Event()
    if warm is None:
        app.state.warm.set()
    app.state.version = statics.version()
    app.state.nav = tuple(page.NAV for page in PAGES if hasattr(page, "NAV"))
    for page in PAGES:
        app.include_router(page.router)
    app.user_middleware = [
        Middleware(GZipMiddleware, minimum_size=700, compresslevel=5),
        Middleware(Guard, owner=app),
    ]
    return app
