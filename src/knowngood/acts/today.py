"""The day on which something is entered."""

from datetime import date

from knowngood.acts.entries import Entry
from knowngood.acts.garage import Garage
from knowngood.store.moment import day_of


def entry_day(garage: Garage, entry: Entry) -> date:
    """The day on which an entry is made, in its own zone; of one that came without a clock, in the garage's."""
    return day_of(entry.happened, garage.zone) if entry.happened else garage.today()
