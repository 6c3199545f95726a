"""Is every entry and every photo of a garage as it was kept?"""

from knowngood.acts.job.garage import Garage
from knowngood.store.errors import StoreError


def verified(garage: Garage) -> tuple[int, int, list[str]]:
    """Look at all of them; return how many entries and photos there are, and a sentence for each that is damaged."""
    checked = garage.store.check()
    words = [one.words for one in checked.damage]
    for name in sorted(checked.photos):
        try:
            garage.store.photos.read(name)
        except StoreError as damaged:
            words.append(str(damaged))
    return checked.entries, len(checked.photos), words
