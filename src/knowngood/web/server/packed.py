"""Answers packed small for a weak signal; what is packed already travels as it is."""

from starlette.middleware.gzip import GZipMiddleware
from starlette.types import ASGIApp, Receive, Scope, Send

PACKED_ALREADY = (".woff2", ".jpg", ".png", ".webp", ".pdf")


class Packed:
    """Pages, scripts, styles and JSON gzipped for those who take it."""

    def __init__(self, app: ASGIApp) -> None:
        self._plain = app
        self._gzip = GZipMiddleware(app, minimum_size=500)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, packed or as it is."""
        plain = scope["type"] != "http" or scope["path"].endswith(PACKED_ALREADY)
        await (self._plain if plain else self._gzip)(scope, receive, send)
