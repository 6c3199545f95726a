"""What instruments of a kind are allowed to be off: class figures for those whose data sheet is lost."""

from dataclasses import dataclass

from knowngood.engine.measurement.meters.instruments import Meter

OURS = "ours"
COMMON = "common practice, no source"
# Ours: a scale is read to a hundredth of its span, half of a usual mark.
SPAN_STEPS = 100.0


@dataclass(frozen=True)
class Figures:
    """One line of an instrument: what it may be off in one range.

    Args:
        unit: Unit inside of what is read.
        percent: Of the reading. [%]
        digits: Counts of the last place.
        step: One count of the display, or the finest that a scale is read to. [unit]
        offset: Absolute part. [unit]
        percent_of_span: Of the whole scale, for gauges; their span must be asked. [%]
        upper: Highest reading of this range; None when it has one range only. [unit]
        greater: The greater of percent and offset counts, not their sum.
    """

    unit: str
    percent: float = 0.0
    digits: float = 0.0
    step: float = 0.0
    offset: float = 0.0
    percent_of_span: float = 0.0
    upper: float | None = None
    greater: bool = False


@dataclass(frozen=True)
class Preset:
    """A kind of instrument and what it is usually allowed to be off.

    Args:
        key: In events and forms.
        title: What pages call it.
        lines: Its ranges.
        source: Where the figures are printed and how that was read; or "ours", or common practice.
        picture: Key of its picture.
        sets_zero: Its class holds from a zero that is set right, so a check at zero is a correction for all readings.
        hint: How it is read, where that is not plain.
    """

    key: str
    title: str
    lines: tuple[Figures, ...]
    source: str = OURS
    picture: str = ""
    sets_zero: bool = False
    hint: str = ""

    @property
    def ours(self) -> bool:
        """No document prints the figures, so they count as assumed."""
        return self.source.startswith((OURS, "from memory", COMMON))

    @property
    def asks_span(self) -> bool:
        """The class is a share of the whole scale."""
        return any(one.percent_of_span for one in self.lines)


def meter_of(line: Figures, *, name: str, assumed: bool, span: float | None = None) -> Meter:
    """Return the instrument that a line of a preset describes.

    Args:
        line: Its figures.
        name: What its owner calls it.
        assumed: The figures are ours, not published ones.
        span: From the lowest to the highest mark, where the class is a share of it. [unit]

    Raises:
        ValueError: A class in percent of the scale, and no span above zero.

    Source:
        GUM, 4.3.7, a limit of error is a rectangle's half-width.

    Example:
        >>> meter_of(PRESETS["pressure_gauge"].lines[0], name="gauge", assumed=False, span=1000.0).absolute
        25.0
    """
    offset, step = line.offset, line.step
    if line.percent_of_span:
        if span is None or span <= 0.0:
            raise ValueError(
                "a gauge's class is a share of its whole scale, and the scale is not stated. "
                "Write its lowest and highest mark, such as 0..10 bar."
            )
        offset, step = offset + line.percent_of_span / 100.0 * span, step or span / SPAN_STEPS
    return Meter(name, line.percent, line.digits, step, offset, assumed, greater=line.greater)


def _display(unit: str, percent: float, digits: float, *steps_and_uppers: tuple[float, float]) -> tuple[Figures, ...]:
    return tuple(Figures(unit, percent, digits, step, upper=upper) for step, upper in steps_and_uppers)


# A display of 4000 counts. Resistance: 0.8 % + 5 digits of 0.1 ohm, common practice of low-cost meters, no source.
# Voltage and current: ours, as wide as TYPICAL.
MULTIMETER = (
    *_display("ohm", 0.8, 5.0, (0.1, 400.0), (1.0, 4e3), (10.0, 4e4), (100.0, 4e5)),
    *_display("V", 0.8, 5.0, (0.0001, 0.4), (0.001, 4.0), (0.01, 40.0)),
    *_display("A", 1.5, 5.0, (0.0001, 0.4), (0.01, 10.0)),
)
BLADES = "Write the thickest blade that goes, then the thinnest that does not, such as 0.25 0.30."
# Classes that are printed. Source: DIN_862; DIN_863_1; EN_837_1; IEC_60584; ASTM_E1272.
PRESETS: dict[str, Preset] = {
    one.key: one
    for one in (
        Preset("multimeter", "Multimeter", MULTIMETER, f"{COMMON}, for ohm; V and A ours"),
        Preset("caliper", "Caliper", (Figures("mm", step=0.01, offset=0.02),), "DIN 862, as reprinted, read",
               sets_zero=True),
        Preset("vernier", "Vernier caliper", (Figures("mm", step=0.05, offset=0.05),), "DIN 862, as reprinted, read",
               picture="caliper", sets_zero=True),
        Preset("micrometer", "Micrometer", (Figures("mm", step=0.01, offset=0.004),),
               "DIN 863-1, 0 to 50 mm, as reprinted, read", sets_zero=True,
               hint="Read it with its faces together too, and keep that as a check at 0 mm."),
        # Between two blades lies half a step, which the step's own row carries; a blade itself is off by the offset.
        Preset("feeler", "Feeler gauges", (Figures("mm", step=0.05, offset=0.005),), hint=BLADES),
        Preset("dial", "Dial indicator", (Figures("mm", step=0.01, offset=0.02),), "from memory: 0.017 mm over 10 mm"),
        Preset("pressure_gauge", "Pressure gauge", (Figures("kPa", percent_of_span=2.5),),
               "EN 837-1, class 2.5, as reprinted, read"),
        Preset("fine_gauge", "Pressure gauge, class 1", (Figures("kPa", percent_of_span=1.0),),
               "EN 837-1, class 1, as reprinted, read", picture="pressure_gauge"),
        Preset("vacuum_gauge", "Vacuum gauge", (Figures("kPa", percent_of_span=2.5),),
               "EN 837-1, class 2.5, as reprinted, read"),
        Preset("infrared", "Infrared thermometer", (Figures("°C", 2.0, step=0.1, offset=2.0, greater=True),),
               f"{COMMON}: ± 2 % or ± 2 °C",
               hint="Shiny metal cannot be read: stick tape on it, or paint a patch."),
        # The display adds what a reader of such probes may be off; ours.
        Preset("contact", "Contact thermometer", (Figures("°C", 0.75, 10.0, 0.1, 2.5, greater=True),),
               "IEC 60584, type K, class 2, as reprinted, read; its display ours"),
        Preset("vessel", "Jug or bucket", (Figures("L", 5.0, step=0.1),), hint="Marks of 0.1 L are taken."),
        Preset("cylinder", "Measuring cylinder", (Figures("L", step=0.005, offset=0.004, upper=0.5),),
               "ASTM E1272, class B, 500 mL, read", picture="vessel"),
        Preset("scale", "Scale", (Figures("kg", 1.0, 1.0, 0.1),), sets_zero=True),
        Preset("inclinometer", "Inclinometer", (Figures("deg", digits=2.0, step=0.1),), sets_zero=True),
        # In deg as a display or a scale shows it, in mm how far the bubble stands off its middle.
        Preset("level", "Spirit level", (Figures("deg", step=0.1, offset=0.1), Figures("mm", step=0.5, offset=0.5)),
               sets_zero=True, hint="Turn it end for end and take the middle of both readings."),
        Preset("water_tube", "Water tube", (Figures("mm", step=1.0, offset=2.0),),
               hint="No air in the tube, both ends open, and wait until the water stands."),
        Preset("hydrometer", "Hydrometer", (Figures("kg/L", step=0.005, offset=0.005),),
               hint="Its scale holds for one temperature, printed on it."),
        Preset("tread", "Tread gauge", (Figures("mm", step=0.1, offset=0.2),), sets_zero=True),
    )
}  # fmt: skip
