"""Sheets of a few steps, written as sentences."""

STEP = '  - {{id: s{number}, do: "{do}", zone: {zone}, time: "1 2 3 min"{more}}}\n'


def sheet(*steps, head="", start="parked, drivable, outdoors"):
    """A sheet of steps, each a sentence, perhaps with its zone and more keys."""
    rows = [step if isinstance(step, tuple) else (step,) for step in steps]
    rows = [(*row, *("around", "")[len(row) - 1 :]) for row in rows]
    text = "".join(
        STEP.format(number=number, do=do, zone=zone, more=more and f", {more}")
        for number, (do, zone, more) in enumerate(rows)
    )
    return f"{head}start: [{start}]\nsteps:\n{text}"
