"""From a judged reading, as its event keeps it, to the picture that shows it."""

from collections.abc import Mapping
from typing import Any

from knowngood import units
from knowngood.acts.book import decimals_for
from knowngood.engine.judgement import Band, Estimate
from knowngood.report.picture import Picture


def picture_of(data: Mapping[str, Any]) -> Picture:
    """Return the picture of a judged reading, in the unit that was written."""
    estimate, band, unit = Estimate.from_json(data["estimate"]), Band.from_json(data["band"]), data["unit"]

    def written(value: float | None) -> float | None:
        return None if value is None else units.to_unit(value, unit)

    u = units.to_unit(estimate.standard_uncertainty, unit, difference=True)
    quantiles = estimate.quantiles and tuple(units.to_unit(one, unit) for one in estimate.quantiles)
    return Picture(
        value=units.to_unit(estimate.value, unit),
        standard_uncertainty=u,
        title=data["name"],
        description=f"{data['judgement']['verdict'].capitalize()}. {data['sentence']}",
        lower=written(band.lower),
        upper=written(band.upper),
        degrees_of_freedom=estimate.degrees_of_freedom,
        quantiles=quantiles or None,
        raw=written(data["raw"]) if data["corrected"] else None,
        unit=unit,
        decimals=decimals_for(2.0 * u),
    )
