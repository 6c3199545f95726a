"""The ledger of a circuit in the terminal: its pourings, what is owed, what to have at hand; and the same as JSON."""

from typing import Any

from knowngood.acts.fluids.at_hand import AtHand
from knowngood.acts.fluids.ledger import Told
from knowngood.acts.fluids.words import cans_words, hand_words, litre_words, litres, owed_words, typed_words, way_words
from knowngood.acts.job.garage import Job
from knowngood.engine.fluids.cans import Purchase
from knowngood.engine.judgement import Estimate
from knowngood.report.pictures.ledger import owed_picture
from knowngood.report.terminal.text import picture


def ledger(job: Job, told: Told, hand: AtHand | None) -> str:
    """Return the ledger of a circuit in lines.

    Args:
        job: Whose.
        told: The ledger.
        hand: What to have at hand; None when nothing more is filled.
    """
    rows = [
        (way_words(job, one), typed_words(one), f"{litres(volume)} at 20 °C")
        for one, volume in zip(told.entries, told.volumes, strict=True)
    ]
    widths = [max((len(row[column]) for row in rows), default=0) for column in (0, 1)]
    lines = [told.name, *(f"  {way:<{widths[0]}}  {typed:<{widths[1]}}  {at_20}" for way, typed, at_20 in rows)]
    drawn = owed_picture(told) if told.allowed else None
    lines += [f"  {line}" for line in picture(drawn)] if drawn else []
    said = [owed_words(told), litre_words(told), *((hand_words(hand), cans_words(hand)) if hand else ())]
    return "\n".join([*lines, *filter(None, said)])


def as_json(told: Told, hand: AtHand | None) -> dict[str, Any]:
    """Return the ledger of a circuit as plain JSON, volumes in L.

    Args:
        told: The ledger.
        hand: What to have at hand; None when nothing more is filled.
    """
    against = told.against
    return {
        "name": told.name,
        "rows": [
            {
                "way": one.moved.way.value,
                "typed": one.typed,
                "litre_20": volume.value,
                "u": volume.standard_uncertainty,
                "assumed": one.assumed,
            }
            for one, volume in zip(told.entries, told.volumes, strict=True)
        ],
        "owed": _known(told.owed),
        "litre_for_litre": None
        if against is None
        else {
            "plain_l": against.plain_l,
            "pour_c": told.pour_c,
            "pour": _known(against.pour),
            "over": _known(against.over),
        },
        "at_hand": None if hand is None else {"p80": hand.litres.likely_l, "p95": hand.litres.nearly_sure_l},
        "purchase": _bought(hand, hand.bought) if hand and hand.bought else None,
    }


def _known(estimate: Estimate) -> dict[str, Any]:
    return {
        "value": estimate.value,
        "unit": estimate.unit,
        "standard_uncertainty": estimate.standard_uncertainty,
        "interval95": list(estimate.interval(0.95)),
    }


def _bought(hand: AtHand, bought: Purchase) -> dict[str, Any]:
    return {
        "cans": [
            {"litre": litre, "count": count}
            for (litre, _), count in zip(hand.cans, bought.counts, strict=True)
            if count
        ],
        "litre": bought.litre,
        "price": bought.price,
        "left_over": bought.left_over.value,
        "enough": bought.enough,
    }
