"""The JSON Schema of job sheets, for editors."""

from typing import Any

from knowngood.sheet.model import Sheet


def schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of a job sheet."""
    found = Sheet.model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **found, "title": "Knowngood job sheet"}
