"""A judged reading, as it was told, for the verdict component: words, pictures and what would settle it."""

from collections.abc import Mapping
from typing import Any

from markupsafe import Markup

from knowngood.acts.readings.settling import price_words, worth_showing
from knowngood.acts.readings.values import band_words, left_words, size_words, value_words
from knowngood.engine.judgement import Band, Estimate
from knowngood.report.pictures.picture import band_and_hump
from knowngood.report.pictures.views import picture_of
from knowngood.sheet.model import AskRef

MARKS = {"within limits": "in", "can't tell": "open", "out of limits": "out"}
LITTLE = 0.005


def verdict(data: Mapping[str, Any]) -> dict[str, Any]:
    """The verdict component's dict, from the data of a reading_judged event."""
    estimate, told = Estimate.from_json(data["estimate"]), data["judgement"]
    picture = picture_of(data)
    return {
        "verdict": told["verdict"],
        "mark": MARKS[told["verdict"]],
        "title": data["name"],
        "value_text": value_words(data),
        "picture_svg_phone": Markup(band_and_hump(picture, width=360)),
        "picture_svg_wide": Markup(band_and_hump(picture, width=640)),
        "sentence": data["sentence"],
        "further": data["further"],
        "settle": [
            {**one, "note": left_words(one, data["unit"]), "price": price_words(one)}
            for one in worth_showing(told["settle"])
        ],
        "assumed": data["assumed"],
        "budget": doubts(estimate, data["unit"]),
    }


def doubts(estimate: Estimate, unit: str) -> list[dict[str, Any]]:
    """Where the doubt comes from, for the component of that name."""
    total = estimate.standard_uncertainty
    rows = [row for row in estimate.budget if total and abs(row.contribution) > LITTLE * total]
    return [
        {
            "name": row.name,
            "contribution": size_words(row.contribution, unit),
            "share": (row.contribution / total) ** 2,
            "assumed": row.assumed,
        }
        for row in rows
    ]


def finding(data: Mapping[str, Any]) -> dict[str, str]:
    """A reading in one line."""
    allowed = band_words(Band.from_json(data["band"]), data["unit"])
    return {"name": data["name"], "words": f"{data['judgement']['verdict']}: {value_words(data)}; allowed {allowed}."}


def unit_of(band: Any) -> str:
    """The unit that a limit's field shows; nothing when the manual must state the limit first."""
    return "" if isinstance(band, AskRef) else str(band.unit)
