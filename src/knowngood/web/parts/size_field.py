"""The field for the size that fits some bolts, the same on Now and on Kit."""

from knowngood.web.parts.forms import Field


def size_field(name: str, fastener: str, size: str = "") -> Field:
    """Which size fits these bolts; what is left empty is asked again the next time."""
    hint = "Such as 10 mm, T30 or 17 mm hex. Kept for this vehicle: Kit names it from then on."
    return Field(name, f"Size that fits the {fastener}", value=size, hint=hint)
