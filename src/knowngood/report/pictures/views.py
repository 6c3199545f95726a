"""What a kept judgement looks like: from the data of an event to a picture's plain numbers."""

from collections.abc import Mapping
from typing import Any

from knowngood import units
from knowngood.acts.readings.values import band_words, decimals_for, value_words
from knowngood.engine.judgement import Band, Estimate
from knowngood.report.pictures.picture import Picture


def picture_of(data: Mapping[str, Any]) -> Picture:
    """Return the picture of a judged reading, in the unit that was written.

    Args:
        data: Of a `reading_judged` event, or what would be kept as one.
    """
    unit, estimate, band = data["unit"], Estimate.from_json(data["estimate"]), Band.from_json(data["band"])
    quantiles = estimate.quantiles
    value, raw = units.to_unit(estimate.value, unit), units.to_unit(data["raw"], unit)
    low, high = (units.to_unit(end, unit) for end in estimate.interval(0.95))
    return Picture(
        value=value,
        standard_uncertainty=units.to_unit(estimate.standard_uncertainty, unit, difference=True),
        title=data["name"],
        description=f"{data['judgement']['verdict']}: {value_words(data)}, allowed {band_words(band, unit)}.",
        lower=None if band.lower is None else units.to_unit(band.lower, unit),
        upper=None if band.upper is None else units.to_unit(band.upper, unit),
        degrees_of_freedom=max(1.0, estimate.degrees_of_freedom),
        quantiles=tuple(units.to_unit(one, unit) for one in quantiles) if quantiles else None,
        raw=raw if data["corrected"] else None,
        unit=unit,
        decimals=decimals_for(0.5 * (high - low)),
    )
