"""Pages from templates: every page gets the units, the light and the way back."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any, Literal, cast
from urllib.parse import urlencode

from fastapi import Request, Response
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup, escape

HERE = Path(__file__).parent
UNITS, LIGHT, PLAIN = "wortline-units", "wortline-light", "wortline-plain"
System = Literal["metric", "us"]


@dataclass(frozen=True)
class Nav:
    """An entry of the line at the top."""

    path: str
    name: str


@cache
def environment() -> Environment:
    """Return the templates; everything put into them is escaped."""
    made = Environment(
        loader=FileSystemLoader(HERE / "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters["moment"] = moment
    made.filters["sentence"] = sentence
    made.filters["retold"] = _retold
    made.globals["link"] = link
    return made


def _retold(text: str, system: System) -> str:
    """Return a sentence with its amounts in the units of this browser."""
    from wortline.units import retold

    return retold(text, system)


def link(path: str, **query: object) -> str:
    """Return an address with its query, quoted."""
    known = {key: value for key, value in query.items() if value is not None}
    return f"{path}?{urlencode(known)}" if known else path


def moment(when: datetime) -> str:
    """Return a time as people read it, in this computer's zone."""
    return when.astimezone().strftime("%Y-%m-%d %H:%M")


def sentence(said: str) -> Markup:
    """Return a message as a sentence: a capital first, a stop last, what was typed set apart."""
    ended = said if said.endswith((".", "?", "!")) else f"{said}."
    pieces = escape(ended[:1].upper() + ended[1:]).split("`")
    if len(pieces) % 2 == 0:
        return Markup("`").join(pieces)
    return Markup("").join(
        Markup("<code>{}</code>").format(piece) if place % 2 else piece
        for place, piece in enumerate(pieces)
    )


def units_of(request: Request) -> System:
    """Return the family of units this browser has chosen."""
    return "us" if request.cookies.get(UNITS) == "us" else "metric"


def light_of(request: Request) -> str:
    """Return `light`, `dark`, or `auto` for what the system says."""
    chosen = request.cookies.get(LIGHT, "auto")
    return chosen if chosen in ("light", "dark") else "auto"


def speaks_plain(request: Request) -> bool:
    """Say whether another device asks over plain http and has not put the word on it away."""
    door = request.app.state.services.door
    client = request.client.host if request.client else ""
    own = door.needs_no_code(client, request.headers.get("host", ""))
    return not (door.secure or own or PLAIN in request.cookies)


def here(request: Request) -> str:
    """Return where the browser is, as a way back: path and query."""
    query = request.url.query
    return request.url.path + (f"?{query}" if query else "")


def render(
    request: Request,
    template: str,
    status: int = 200,
    headers: Mapping[str, str] | None = None,
    **values: Any,
) -> Response:
    """Return a page.

    Every template also has `units` (``metric`` or ``us``), `light`, `nav`, `path`, `back`,
    `static`, the folder of the static files of this version, and `plain`, whether to say what
    plain http cannot do.
    """
    state = request.app.state
    text = (
        environment()
        .get_template(template)
        .render(
            units=units_of(request),
            light=light_of(request),
            nav=cast(tuple[Nav, ...], state.nav),
            path=request.url.path,
            plain=speaks_plain(request),
            back=here(request) if request.method in ("GET", "HEAD") else "/",
            static=f"/static/{state.version}",
            **values,
        )
    )
    return Response(text, status, headers, media_type="text/html")
