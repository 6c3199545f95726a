"""The day on which something is entered."""

from datetime import date

from knowngood.acts.job.garage import Garage
from knowngood.acts.record.entries import Entry
from knowngood.store.moment import day_of


def entry_day(garage: Garage, entry: Entry) -> date:
    """The day on which an entry is made, in its own zone; of one that came without a clock, in the garage's."""
    return day_of(entry.happened, garage.zone) if entry.happened else garage.today()
