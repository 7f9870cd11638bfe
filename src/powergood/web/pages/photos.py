"""Photos by their digest: they never change, so a browser may keep them for good."""

from __future__ import annotations

import re

from starlette.requests import Request
from starlette.responses import FileResponse, Response

from powergood.web.pages.trouble import trouble

_DIGEST = re.compile(r"[0-9a-f]{64}")


def show(request: Request) -> Response:
    """Send a photo, or its small form."""
    digest = request.path_params["digest"]
    if not _DIGEST.fullmatch(digest):
        return trouble(request, 404, "No such photo", "There is no photo at this address.")
    path = request.app.state.workshop.store.photo_path(digest, "small" in request.query_params)
    if not path.is_file():
        return trouble(request, 404, "No such photo", "The book names this photo, but its file is not there.")
    return FileResponse(path, headers={"cache-control": "private, max-age=31536000, immutable"})
