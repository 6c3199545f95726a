"""The application: one endpoint that takes events, pages that show what stands, PDFs, and our own files."""

from collections.abc import Callable, Mapping
from functools import partial
from typing import Any
from urllib.parse import urlencode

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.middleware import Middleware
from starlette.requests import Request
from starlette.responses import JSONResponse, RedirectResponse, Response
from starlette.routing import Mount, Route
from starlette.staticfiles import StaticFiles

from knowngood.acts.devices import sent_by
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.job.run_document import document
from knowngood.acts.record.entries import Entry
from knowngood.acts.record.take import take
from knowngood.refusal import Refused
from knowngood.store.errors import StoreError
from knowngood.web.pages import bench, fluids, judge, now, of_job, pair, phones, record, start, vehicle, why, work
from knowngood.web.pages.of_job import Page
from knowngood.web.parts.forms import Kept
from knowngood.web.parts.why_plan import looked, version
from knowngood.web.parts.window_panel import rings
from knowngood.web.server import photos, upload
from knowngood.web.server.answers import THIS_COMPUTER, show, store_words, trouble, wants_json
from knowngood.web.server.bell import Bell
from knowngood.web.server.failing import keep_trace, page_of, part
from knowngood.web.server.guard import ONLY_LOOKS, Guard, Phones, is_sealed
from knowngood.web.server.packed import Packed
from knowngood.web.server.pairing import Lan
from knowngood.web.server.worker import Worker

OWN_FIELDS = ("id", "stream", "kind", "back", "form", "csrf", "instead", "device", "device_seq", "happened")
LONGEST_COUNT = 15
NOT_SEALED = (
    "This page was made for a phone or computer as it was known before, so nothing was kept: only a page made for the "
    "one that sends may send. Reload the page and send it again; what you typed is not lost."
)
FAILED = "A fault of the program"
PAGE_FAILED = (
    "This page cannot be shown. Nothing that was kept is lost. Load the page again; if it stays like this, go on with "
    "another page."
)
NOT_SENT = (
    "What you sent could not be worked on. It is still in the form behind you: go back and send it again, it is kept "
    "once at most."
)
JobPage = Callable[[Garage, Job, Kept | None], Page]
JOB_PAGES: Mapping[str, JobPage] = {
    "now": now.now,
    "why": why.why,
    "kit": work.kit,
    "steps": of_job.steps,
    "readings": of_job.readings,
    "fluids": fluids.fluids,
    "bolts": work.bolts,
    "book": record.book,
    "handover": record.handover,
    "more": record.more,
    "start": start.start,
}


def application(
    garage: Garage, lan: Lan | None = None, bell: Bell | None = None, worker: Worker | None = None
) -> Guard:
    """Return the application that serves a garage to this machine, and to paired phones when it is on their network.

    Args:
        garage: What to serve.
        lan: Where phones reach it; None keeps them out.
        bell: Rings when a fluid is about to enter or leave its window; None stays silent.
        worker: Makes plans better beside the requests; one of its own when left out.
    """
    routes = [
        Route("/", _bench),
        Route("/judge", _judge),
        Route("/vehicle/{vehicle}", _job_page),
        *pair.ROUTES,
        *phones.ROUTES,
        *photos.ROUTES,
        Route("/alive", _alive),
        Route("/events", _events, methods=["POST"]),
        Route("/job/{job}/run.json", _run),
        Route("/job/{job}/why.json", _why),
        Route("/job/{job}/{document}.pdf", _pdf),
        Route("/job/{job}/{page}", _job_page),
        Mount("/static", StaticFiles(packages=[("knowngood.web", "static")])),
    ]
    handlers: dict[Any, Any] = {
        Refused: _not_there,
        StoreError: _not_kept,
        upload.NotTaken: _not_taken,
        404: _not_found,
        Exception: _failed,
    }
    app = Starlette(routes=routes, middleware=[Middleware(Packed)], exception_handlers=handlers)
    app.state.garage, app.state.bell = garage, bell
    app.state.phones, app.state.lan = Phones(garage), lan
    app.state.worker = worker or Worker()
    return Guard(app, garage, app.state.phones, lan_hosts=[lan.host] if lan else [])


async def _bench(request: Request) -> Response:
    return await run_in_threadpool(_page, request, "/", None)


async def _judge(request: Request) -> Response:
    return await run_in_threadpool(_page, request, "/judge", None)


async def _job_page(request: Request) -> Response:
    return await run_in_threadpool(_page, request, request.url.path, None)


def _page(request: Request, path: str, kept: Kept | None, status: int = 200) -> Response:
    """Draw a page; with a form that came back, what was typed stands in it."""
    with page_of(request.app.state.garage):
        return _whole_page(request, path, kept, status)


def _whole_page(request: Request, path: str, kept: Kept | None, status: int) -> Response:
    garage = request.app.state.garage
    if path == "/judge":
        reading, name = (request.query_params.get(key, "") for key in ("reading", "quantity"))
        return show(request, "judge.html", judge.judge(garage, kept, reading, name), status)
    _, head, *rest = path.split("/")
    if head == "job" and len(rest) == 2 and rest[1] in JOB_PAGES:
        job = garage.job(rest[0])
        return show(request, f"{rest[1]}.html", _drawn(request, rest[1], job, kept), status)
    if head == "vehicle" and len(rest) == 1:
        return show(request, "vehicle.html", vehicle.vehicle(garage, rest[0], kept), status)
    if path == "/":
        return show(request, "bench.html", bench.bench(garage, kept), status)
    if path == "/phones":
        return phones.answer(request, kept, status)
    return trouble(request, "Not here", "There is no such page. The Bench shows all that there is.", 404)


def _drawn(request: Request, name: str, job: Job, kept: Kept | None) -> Page:
    """Draw a page of a job; some need more than the job."""
    query, worker = request.query_params, request.app.state.worker
    if name == "now":
        _set_bell(request, job.id)  # another program may have kept a temperature
    cant = "cant" in query or bool(kept and kept.key.startswith("step_put_off"))
    more: Mapping[str, Mapping[str, Any]] = {
        "now": {"cant": cant, "worker": worker},
        "why": {"worker": worker},
        "fluids": {"wanted": query.get("wanted", "")},
    }
    return partial(JOB_PAGES[name], **more.get(name, {}))(request.app.state.garage, job, kept)


async def _events(request: Request) -> Response:
    """Take one entry: a form without JavaScript, or the same form sent by send.js."""
    typed, files = await upload.read(request)
    if not is_sealed(request, typed.get("csrf", "")):
        return await run_in_threadpool(_refused, request, typed, {"": NOT_SEALED}, 403)
    if typed.get("stream") == "phones" and request.state.who != THIS_COMPUTER:
        return trouble(request, "Not from a phone", phones.ONLY_AT_COMPUTER, 403)
    return await run_in_threadpool(_take, request, typed, files)


def _take(request: Request, typed: Mapping[str, str], files: Mapping[str, bytes]) -> Response:
    as_json, back = wants_json(request), _back(typed)
    if "instead" in typed:
        query = "?cant=1" if typed["instead"] == "cant" else ""
        return _onward(f"{back}{query}", as_json)
    entry = Entry(
        id=typed.get("id", ""),
        stream=typed.get("stream", ""),
        kind=typed.get("kind", ""),
        fields=_fields(typed),
        device=sent_by(request.state.who, typed.get("device", "browser")),
        device_seq=_count(typed.get("device_seq", "")),
        happened=typed.get("happened", ""),
        files=files,
    ).placed
    try:
        take(request.app.state.garage, entry)
    except Refused as refused:
        return _refused(request, typed, refused.problems, 422, stale=refused.stale)
    if entry.kind in ("temperature_read", "step_done", "withdrawn", "finished") and entry.stream.startswith("job/"):
        with page_of(request.app.state.garage):  # it is kept, whatever the bell makes of it
            _set_bell(request, entry.of)
    return _onward(_next(entry, back), as_json)


def _set_bell(request: Request, job_id: str) -> None:
    """A temperature that came, or was taken back, moves the moments that the computer rings for."""
    garage, bell = request.app.state.garage, request.app.state.bell
    if bell is not None:
        bell.set(job_id, part("when the computer rings", lambda: rings(garage.job(job_id)), []))


def _refused(
    request: Request, typed: Mapping[str, str], problems: Mapping[str, str], status: int, *, stale: bool = False
) -> Response:
    """Hand back what was typed, with what is wrong: to a script in words, otherwise in the form it came from."""
    if wants_json(request):
        at_fields = {name: words for name, words in problems.items() if name}
        said = {"problems": at_fields, "message": problems.get("", "")}
        return JSONResponse({**said, "stale": True} if stale else said, status)
    return _page(request, _back(typed), Kept(typed.get("form", ""), _fields(typed), problems), status)


def _fields(typed: Mapping[str, str]) -> dict[str, str]:
    return {name: value for name, value in typed.items() if name not in OWN_FIELDS}


def _back(typed: Mapping[str, str]) -> str:
    """The page that a form stands on; never another site's."""
    back = typed.get("back", "/")
    return back if back.startswith("/") and not back.startswith("//") else "/"


def _count(text: str) -> int:
    """A device's own count; 0, which keeps the order of arrival, for what no device counts."""
    return int(text) if text.isascii() and text.isdigit() and len(text) <= LONGEST_COUNT else 0


def _next(entry: Entry, back: str) -> str:
    """Where to go after an entry was kept."""
    if entry.kind == "job_opened":
        return f"/job/{entry.of}/start"
    if back == "/judge":
        return f"{back}?{urlencode({'reading': entry.id, 'quantity': entry.text('quantity')})}"
    return back


def _onward(url: str, as_json: bool) -> Response:
    return JSONResponse({"next": url}) if as_json else RedirectResponse(url, 303)


async def _alive(request: Request) -> Response:
    """Tell a page that the program answers, and how far a stream has come meanwhile."""
    store, stream = request.app.state.garage.store, request.query_params.get("stream", "")
    return JSONResponse({"seq": await run_in_threadpool(store.newest_seq, stream)})


async def _run(request: Request) -> Response:
    garage: Garage = request.app.state.garage
    return JSONResponse(await run_in_threadpool(_document, garage, request.path_params["job"]))


def _document(garage: Garage, job_id: str) -> dict[str, Any]:
    job = garage.job(job_id)
    return document(job, made=garage.now(), moves=garage.moves_of(job.vehicle_id))


async def _why(request: Request) -> Response:
    """Tell a page that waits for a better plan whether there is one."""
    return JSONResponse(await run_in_threadpool(_version, request))


def _version(request: Request) -> dict[str, Any]:
    garage = request.app.state.garage
    with page_of(garage):
        return version(looked(garage, garage.job(request.path_params["job"]), request.app.state.worker))


async def _pdf(request: Request) -> Response:
    from knowngood.report.paper.fill import PDFS

    garage, name = request.app.state.garage, request.path_params["document"]
    if name not in PDFS:
        return trouble(request, "Not here", "There is a card.pdf, a book.pdf and a handover.pdf.", 404)
    job = await run_in_threadpool(garage.job, request.path_params["job"])
    content = await run_in_threadpool(PDFS[name], garage, job)
    headers = {"content-disposition": f'inline; filename="{name}-{job.id}.pdf"'}
    return Response(content, media_type="application/pdf", headers=headers)


async def _not_there(request: Request, refused: Refused) -> Response:
    return trouble(request, "Not here", " ".join(refused.problems.values()), 404)


async def _not_kept(request: Request, error: StoreError) -> Response:
    words = store_words(request, error)
    if request.method == "GET":
        return trouble(request, "Not to be read", words, 507)
    stays = "What you typed was not stored; it is still in the form behind you."
    return trouble(request, "Not kept", f"{words} {stays}", 507)


async def _not_taken(request: Request, refused: upload.NotTaken) -> Response:
    return trouble(request, "Not taken", str(refused), refused.status)


async def _failed(request: Request, fault: Exception) -> Response:
    """A fault of ours: say so, keep the trace, and lead on; the server goes on, and prints it at its terminal."""
    garage, path = request.app.state.garage, request.url.path
    log = await run_in_threadpool(keep_trace, garage, fault, f"{request.method} {path}")
    words = PAGE_FAILED if request.method in ONLY_LOOKS else NOT_SENT
    if wants_json(request) or not request.state.who:
        return trouble(request, FAILED, words, 500)
    page = {"page": "failed", "title": FAILED, "words": words, "log": log, "ways": _ways_on(path)}
    return show(request, "failed.html", page, 500)


def _ways_on(path: str) -> list[dict[str, str]]:
    """The other pages: those of the same job, and the Bench."""
    _, head, *rest = path.split("/")
    of_job = [f"/job/{rest[0]}/{name}" for name in JOB_PAGES] if head == "job" and rest else ["/judge"]
    names = {page: page.rpartition("/")[2].capitalize() for page in of_job if page != path}
    return [{"href": page, "label": name} for page, name in {**names, "/": "Bench"}.items() if page != path]


async def _not_found(request: Request, _: Exception) -> Response:
    return trouble(request, "Not here", "There is no such page. The Bench shows all that there is.", 404)
