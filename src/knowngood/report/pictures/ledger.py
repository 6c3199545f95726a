"""What is owed to a circuit, drawn against how far its level may be off."""

from knowngood.acts.fluids.ledger import Told
from knowngood.acts.fluids.words import owed_words, title
from knowngood.report.pictures.picture import Picture


def owed_picture(told: Told) -> Picture | None:
    """Return the picture of a ledger; None before anything moved.

    The triangle stands where litre for litre would have it.

    Args:
        told: The ledger.
    """
    if not told.entries:
        return None
    owed, allowed = told.owed, told.allowed
    return Picture(
        value=owed.value,
        standard_uncertainty=owed.standard_uncertainty,
        title=f"{told.name}: {title(told).lower()}",
        description=owed_words(told),
        lower=allowed.lower if allowed else None,
        upper=allowed.upper if allowed else None,
        degrees_of_freedom=max(1.0, owed.degrees_of_freedom),
        quantiles=owed.quantiles,
        raw=told.against.plain_l if told.against else None,
        unit="L",
        decimals=2,
    )
