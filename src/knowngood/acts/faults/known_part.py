"""What is known of a doubtful part: from a sheet alone, or from a job with its findings and the garage's prices."""

from knowngood.acts.distances import odometer
from knowngood.acts.faults.cover_inputs import Known
from knowngood.acts.faults.doubtful_parts import Doubtful, doubtful_part, doubtful_parts, in_reach
from knowngood.acts.faults.problem import quote_of
from knowngood.acts.faults.suspects import Suspected, anyway_of, suspected_here, suspected_of
from knowngood.acts.job.garage import Garage, Job
from knowngood.acts.tools.prices import Prices, prices_of
from knowngood.engine.troubleshooting.model.amounts import Chance, Price
from knowngood.engine.troubleshooting.model.parts import OTHER
from knowngood.sheet.model import Sheet


def known_in_sheet(sheet: Sheet, about: str) -> Known:
    """Return what a sheet says of a doubtful part.

    Args:
        sheet: Free of stops.
        about: Its short name; may be empty when the sheet has one only.

    Raises:
        Refused: The sheet has no such part.
    """
    parts = doubtful_parts(sheet)
    part = _named(parts, about)
    found = suspected_of(sheet) if sheet.suspects else None
    return Known(part, _chance(found, part), quote=_quoted(sheet, None, part))


def known_in_job(garage: Garage, job: Job, about: str) -> Known:
    """Return what a job says of a doubtful part, with its findings and the garage's prices.

    Raises:
        Refused: The job's sheet has no such part, or findings that no suspect allows together.
    """
    return known_of(garage, job, _named(parts_of(garage, job), about))


def known_of(garage: Garage, job: Job, part: Doubtful) -> Known:
    """Return the same for a part that is at hand already."""
    prices = prices_of(garage.toolbox(), job.sheet)
    seen = [km for _, km in odometer(job.vehicle, job.zone)]
    chance, quote = _chance(suspected_here(garage, job), part), _quoted(job.sheet, job.quote, part)
    return Known(part, chance, prices.hour, quote, seen[-1] if seen else None)


def parts_in_reach(garage: Garage, job: Job) -> list[Doubtful]:
    """Return the doubtful parts of a job that can be got at now."""
    return [one for one in parts_of(garage, job).values() if in_reach(job, one)]


def parts_of(garage: Garage, job: Job) -> dict[str, Doubtful]:
    """Return every doubtful part of a job by its short name, as things stand."""
    found = suspected_here(garage, job)
    prices: Prices = prices_of(garage.toolbox(), job.sheet)
    seen = [one.found.key for one in found.evidence] if found else []
    return doubtful_parts(job.sheet, prices, anyway=anyway_of(job), seen=seen)


def _named(parts: dict[str, Doubtful], about: str) -> Doubtful:
    if not about and len(parts) == 1:
        return next(iter(parts.values()))
    return doubtful_part(parts, about)


def _quoted(sheet: Sheet, quote: float | None, part: Doubtful) -> Price | None:
    """What the shop asks to take over when this part is the one."""
    asked = quote_of(sheet, quote)
    return None if asked is None else asked.for_cause(part.suspect or OTHER)


def _chance(found: Suspected | None, part: Doubtful) -> Chance | None:
    """How likely it is the one, after all findings."""
    if found is None or part.suspect is None:
        return None
    one = next((one for one in found.suspects if one.key == part.suspect), None)
    return None if one is None else Chance(one.after)
