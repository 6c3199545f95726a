"""What phones are called, each by a name that no other one has."""

from knowngood.store.states import PhonesState


def phone_names(state: PhonesState) -> dict[str, str]:
    """Return what each phone is called, by its id, dropped ones too; of one name the later ones have a number."""
    found, seen = dict[str, str](), dict[str, int]()
    for event in state.entries.values():
        if event.kind == "phone_paired":
            name = str(event.data["name"])
            seen[name.casefold()] = seen.get(name.casefold(), 0) + 1
            count = seen[name.casefold()]
            found[event.id] = name if count == 1 else f"{name} {count}"
    return found
