"""Static files under a path that names their content, so that browsers may keep them."""

import hashlib
from pathlib import Path

from fastapi import APIRouter
from fastapi.responses import FileResponse, Response
from starlette.exceptions import HTTPException

FOLDER = Path(__file__).parent / "static"
TYPES = {
    ".css": "text/css",
    ".js": "text/javascript",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".webmanifest": "application/manifest+json",
}

router = APIRouter(include_in_schema=False)


def static_files() -> dict[str, Path]:
    """Return the static files by name; there are no folders among them."""
    return {path.name: path for path in sorted(FOLDER.iterdir()) if path.suffix in TYPES}


def version() -> str:
    """Return a word that changes when any static file does."""
    digest = hashlib.sha256()
    for name, path in static_files().items():
        digest.update(name.encode() + b"\0" + path.read_bytes() + b"\0")
    return digest.hexdigest()[:12]


@router.get("/static/{version}/{name}")
def static_file(version: str, name: str) -> Response:
    """Return one file, by its exact name."""
    found = static_files().get(name)
    if found is None:
        raise HTTPException(404)
    headers = {"Cache-Control": "public, max-age=31536000, immutable"}
    return FileResponse(found, headers=headers, media_type=TYPES[found.suffix])
