"""Photos and their thumbnails, by names that only the store makes."""

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from knowngood.refusal import Refused
from knowngood.store.errors import StoreError
from knowngood.store.photos import NAME
from knowngood.web.server.answers import store_words

TYPES = {"jpg": "image/jpeg", "png": "image/png", "webp": "image/webp"}
# A name says what is in the file, so what it names never changes; but it is nobody else's to keep.
FOR_EVER = {"cache-control": "private, max-age=31536000, immutable"}
NO_PHOTO = "There is no such photo. The job's book shows all that there are."


def _photo(request: Request) -> Response:
    content, kind = _kept(request)
    return Response(content, media_type=TYPES[kind], headers=FOR_EVER)


def _thumb(request: Request) -> Response:
    from knowngood.store.pixels import thumbnail

    content, _ = _kept(request)
    return Response(thumbnail(content), media_type=TYPES["jpg"], headers=FOR_EVER)


def _kept(request: Request) -> tuple[bytes, str]:
    """What the photo holds, and its kind."""
    name = request.path_params["name"]
    match = NAME.fullmatch(name)
    if match is None:
        raise Refused({"": NO_PHOTO})
    try:
        return request.app.state.garage.store.photos.read(name), match[2]
    except StoreError as missing:
        raise Refused({"": store_words(request, missing)}) from missing


ROUTES = [Route("/photos/{name}", _photo), Route("/thumbs/{name}", _thumb)]
