"""The fields that ask what hangs on the vehicle, on the Bench and before the start."""

from collections.abc import Iterable

from knowngood.acts.cautions.equipment import ANSWERS, EQUIPMENT
from knowngood.acts.job.garage import Job
from knowngood.web.parts.forms import Field, Form


def equipment_fields(names: Iterable[str]) -> list[Field]:
    """A choice of yes, no, not known for each; none of them must be made."""
    choices = [(one, one) for one in ANSWERS]
    return [Field(name, EQUIPMENT[name], "choice", choices=choices) for name in names]


def equipment_form(job: Job, names: Iterable[str]) -> Form:
    """What nobody has said of the vehicle yet; it may be left open."""
    return Form("described", f"vehicle/{job.vehicle_id}", f"/job/{job.id}/start", equipment_fields(names))
