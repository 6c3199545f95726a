"""A step's tools in a sheet: by name, and by what they must fit where no sheet can know the size."""

from typing import Annotated, Any

from pydantic import BeforeValidator, Field

from knowngood.sheet.fields import Form
from knowngood.sheet.suspects import Some
from knowngood.sheet.tree import shown

HOW_WRITTEN = 'Write its name, such as "torch", or {name: socket, fits: drain_plug}.'


class Tool(Form):
    """A tool, and the bolts or plugs whose size it must have on this vehicle."""

    name: str = Field(description="what it is, without a size that differs between vehicles: socket")
    fits: Some = Field(default=(), description="the fasteners that it must fit: drain_plug")


def _by_name(found: Any) -> Any:
    if isinstance(found, str):
        return {"name": found}
    if not isinstance(found, dict | Tool):
        raise ValueError(f"{shown(found)} is no tool. {HOW_WRITTEN}")
    return found


Tools = tuple[Annotated[Tool, BeforeValidator(_by_name, json_schema_input_type=str | Tool)], ...]
