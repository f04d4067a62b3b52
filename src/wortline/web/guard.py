"""Stands before every page: host, origin, size, session, and the headers of every answer."""

from typing import Any

from fastapi import FastAPI, Request
from starlette.datastructures import MutableHeaders
from starlette.types import Message, Receive, Scope, Send

from wortline.web.door import SESSION, session_holds
from wortline.web.refusals import refusal, wants_json
from wortline.web.services import Services

MOST_BODY = 1024 * 1024
READS = ("GET", "HEAD", "OPTIONS")
OPEN_PATHS = ("/join", "/certificate", "/certificate.pem", "/certificate.crt")
OPEN_FOLDER = "/static/"

POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' data: blob:",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    # no-referrer would turn the Origin of our own forms into `null`
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}


class Guard:
    """Refuses what must not reach a page; adds the protecting headers to every answer."""

    def __init__(self, app: Any, owner: FastAPI) -> None:
        self.app = app
        self.owner = owner

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer one request."""
        if scope["type"] != "http":
            # There are no websockets here; only the server's own start and stop pass.
            if scope["type"] == "lifespan":
                await self.app(scope, receive, send)
            return

        async def sent(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in HEADERS.items():
                    headers.setdefault(name, value)
                headers.setdefault("Cache-Control", "no-store")
            await send(message)

        scope["app"] = self.owner
        request = Request(scope, receive)
        turned_away = self._turned_away(request)
        if turned_away is None:
            body = await _body(request)
            if body is None:
                text = f"This is larger than {MOST_BODY // 1024} kB; it is not taken."
                turned_away = refusal(request, 413, "too-large", text)
            else:
                await self.app(scope, _again(body, receive), sent)
                return
        await turned_away(scope, receive, sent)

    def _turned_away(self, request: Request) -> Any:
        services: Services = self.owner.state.services
        door, host = services.door, request.headers.get("host", "")
        client = request.client.host if request.client else ""
        if not door.answers_to(host):
            text = "This server does not answer to that name. Use the address it printed."
            return refusal(request, 421, "wrong-host", text)
        if request.method not in READS:
            own = f"{request.url.scheme}://{host}"
            if [each.lower() for each in request.headers.getlist("origin")] != [own.lower()]:
                text = f"Changes are taken from Wortline's own pages only (Origin: {own})."
                return refusal(request, 403, "wrong-origin", text)
        path = request.url.path
        if door.needs_no_code(client, host) or path in OPEN_PATHS or path.startswith(OPEN_FOLDER):
            return None
        if session_holds(services.secret, services.clock(), request.cookies.get(SESSION, "")):
            return None
        if wants_json(request):
            text = "Join first: open /join and type the code from the terminal."
            return refusal(request, 401, "join-first", text)
        from starlette.responses import RedirectResponse

        return RedirectResponse("/join", 303)


async def _body(request: Request) -> bytes | None:
    """Return the whole body, or None as soon as it is too large."""
    length = request.headers.get("content-length", "0")
    if length.isdigit() and int(length) > MOST_BODY:
        return None
    parts, size = [], 0
    async for part in request.stream():
        size += len(part)
        if size > MOST_BODY:
            return None
        parts.append(part)
    return b"".join(parts)


def _again(body: bytes, receive: Receive) -> Receive:
    """Return a `receive` that hands the body over once more, then passes on what comes."""
    waiting = [body]

    async def again() -> Message:
        if waiting:
            return {"type": "http.request", "body": waiting.pop(), "more_body": False}
        return await receive()

    return again
