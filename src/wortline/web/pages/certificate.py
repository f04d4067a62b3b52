"""The certificate of this computer's own authority, with what installing it means."""

from fastapi import APIRouter, Request, Response

from wortline.web.refusals import Unwelcome
from wortline.web.rendering import render
from wortline.web.services import Given

router = APIRouter(include_in_schema=False)
TYPES = {"pem": "application/x-pem-file", "crt": "application/x-x509-ca-cert"}


@router.get("/certificate")
def certificate_page(request: Request, given: Given) -> Response:
    """Say how a phone comes to trust this computer, what that allows and how to undo it."""
    if given.door.certificate is None:
        raise Unwelcome(404, "no-certificate", "This server runs without a certificate.")
    return render(
        request, "certificate.html", title="Certificate", fingerprint=given.door.fingerprint
    )


@router.get("/certificate.{form}")
def certificate_file(given: Given, form: str) -> Response:
    """Return the authority's certificate; its key never leaves this computer."""
    if given.door.certificate is None or form not in TYPES:
        raise Unwelcome(404, "no-certificate", "This server runs without a certificate.")
    headers = {"Content-Disposition": f'attachment; filename="wortline-authority.{form}"'}
    return Response(given.door.certificate, 200, headers, media_type=TYPES[form])
