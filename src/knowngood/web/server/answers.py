"""Answers in one place: a page from its template, or the same trouble as a page or as JSON."""

from collections.abc import Mapping
from functools import cache
from typing import Any

from jinja2 import Environment, PackageLoader, select_autoescape
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response

from knowngood.store.errors import StoreError
from knowngood.store.rows import REMEDY
from knowngood.web.server.failing import failed_parts
from knowngood.web.server.unbroken import unbroken

THIS_COMPUTER = "this computer"


@cache
def _templates() -> Environment:
    loader = PackageLoader("knowngood.web", "templates")
    made = Environment(loader=loader, autoescape=select_autoescape(), trim_blocks=True, lstrip_blocks=True)
    made.policies["json.dumps_kwargs"] = {"ensure_ascii": False, "allow_nan": False}
    return made


def show(request: Request, template: str, page: Mapping[str, Any], status: int = 200) -> HTMLResponse:
    """Draw a page; what the guard found out about who asks stands in it as `csrf` and `at_computer`."""
    who: dict[str, Any] = {"csrf": request.state.csrf, "at_computer": request.state.who == THIS_COMPUTER}
    who["garage_id"] = request.app.state.garage.store.id
    who["damage"] = _damage(request, page) if request.state.who else []
    who["failed"] = failed_parts()
    return HTMLResponse(unbroken(_templates().get_template(template).render({**page, **who})), status)


def _damage(request: Request, page: Mapping[str, Any]) -> list[str]:
    """What is damaged and left out of what the page shows: of its job, or of the whole garage."""
    store, job = request.app.state.garage.store, page.get("job")
    damage = [one.words for one in store.damage(f"job/{job['id']}" if job else None)]
    return [*damage, REMEDY] if damage else []


def wants_json(request: Request) -> bool:
    """Does a script of ours ask, rather than a person who looks at pages?"""
    return "application/json" in request.headers.get("accept", "") or request.scope["path"].endswith(".json")


def store_words(request: Request, error: StoreError) -> str:
    """What is wrong with the garage; where it lies on this computer is said to whoever sits at it."""
    return str(error) if request.state.who == THIS_COMPUTER else error.elsewhere


def trouble(request: Request, title: str, words: str, status: int, *, template: str = "") -> Response:
    """Say in one sentence or two what is wrong and what to do; to a stranger on a page that holds nothing else."""
    if wants_json(request):
        return JSONResponse({"problems": {}, "message": words}, status)
    template = template or ("trouble.html" if request.state.who else "alone.html")
    return show(request, template, {"page": "bench", "title": title, "words": words}, status)
