"""The job sheet as an object: frozen, checked for form, without physics."""

from difflib import get_close_matches
from enum import StrEnum
from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag

from knowngood.sheet.circuits import Circuit, Fluid, Level, LevelBy
from knowngood.sheet.facts import Fact
from knowngood.sheet.fields import (
    Allowed,
    AskRef,
    Duration,
    FactText,
    Form,
    Id,
    Temperature,
    Times,
    Torque,
    Volume,
    Window,
)
from knowngood.sheet.same import SameAs, SameBolts
from knowngood.sheet.suspects import CheckAfter, Cover, Kind, Named, Quote, Repair, Share, Suspects, Test
from knowngood.sheet.tools import Tools

__all__ = [
    "About", "Ask", "AskFor", "AskRef", "CheckAfter", "Circuit", "Conductor", "Costs", "Cover", "Decide", "Fastener",
    "Fill", "Fluid", "Level", "LevelBy", "Limit", "Outcome", "Part", "Quote", "Repair", "Sheet", "Step", "Test",
    "WhenDecided", "WhenLimit", "Zone",
]  # fmt: skip


class Zone(StrEnum):
    """Where the person is during a step."""

    AROUND = "around"
    INSIDE = "inside"
    TOP = "top"
    WHEEL = "wheel"
    UNDER = "under"


class Conductor(StrEnum):
    """What a resistance is made of, which decides how it moves with temperature."""

    COPPER = "copper"
    ALUMINIUM = "aluminium"
    ALLOY = "alloy"


class Outcome(StrEnum):
    """How a limit was found, as `when` writes it."""

    WITHIN = "within"
    OUT = "out"
    CANT_TELL = "cant_tell"


class AskFor(StrEnum):
    """What kind of value answers a question to the manual."""

    TORQUE = "torque"
    VOLUME = "volume"
    LIMITS = "limits"
    TEMPERATURE = "temperature"
    TEMPERATURES = "temperatures"
    LENGTH = "length"
    DENSITY = "density"
    WORDS = "words"


class Ask(Form):
    """A question that the owner's manual answers, once per vehicle and sheet."""

    question: str
    answer: AskFor
    like: str = Field(description="what an answer looks like, e.g. 8 N·m ± 1")
    same_as: SameAs | None = Field(default=None, description="what other sheets may ask too: torque(gearbox.drain)")


class Part(Named):
    """A part that the job needs to have at hand."""

    count: int = Field(default=1, ge=1)
    single_use: bool = False
    scope: tuple[Id, ...] = ()


class Fastener(Named):
    """A group of equal bolts, plugs or clamps."""

    count: int = Field(default=1, ge=1)
    torque: Torque | None = None
    hand_tight: bool = Field(default=False, description="clamps, clips, caps: no torque applies")
    thread: str | None = None
    single_use: Id | None = Field(default=None, description="the part that replaces it each time")
    same_as: SameBolts | None = Field(
        default=None, description="which bolts other sheets know them as, where no question for their torque says it"
    )


class Costs(Form):
    """What the two mistakes cost, in the same money."""

    wrong_within: float = Field(gt=0, description="taking it as good when it is not")
    wrong_out: float = Field(gt=0, description="replacing it when it was good")


def _which_rule(found: Any) -> str:
    return "Costs" if isinstance(found, dict | Costs) else "Words"


Rule = Annotated[
    Annotated[Literal["usual", "safety"], Tag("Words")] | Annotated[Costs, Tag("Costs")],
    Discriminator(_which_rule),
]


class Limit(Named):
    """What a reading is judged against."""

    quantity: Id | None = Field(default=None, description="which model judges it: voltage_drop")  # read before the band
    band: Allowed
    given: dict[Id, str] = Field(default_factory=dict, description="what the quantity asks, where the sheet states it")
    at: Temperature | None = None
    conductor: Conductor | None = None
    rule: Rule = "usual"
    decides: str | None = Field(default=None, description="the act that follows when it is out: renew the relay")
    again: Id | None = Field(default=None, description="the limit whose reading this one repeats after the repair")
    source: str | None = Field(default=None, description="where the limit is printed")


class WhenLimit(Form):
    """Only when a limit was found so."""

    limit: Id
    is_: Outcome = Field(alias="is")


class WhenDecided(Form):
    """Only when this choice was made."""

    decided: Id
    is_: Id = Field(alias="is", default="yes")


def _which_when(found: Any) -> str:
    """What the person began to write: limit and decided are told apart also when one is misspelt."""
    if isinstance(found, dict):
        like = [get_close_matches(str(key), ("limit", "decided"), n=1) for key in found]
        return "WhenDecided" if ["decided"] in like and "limit" not in found else "WhenLimit"
    return "WhenDecided" if isinstance(found, WhenDecided) else "WhenLimit"


When = Annotated[
    Annotated[WhenLimit, Tag("WhenLimit")] | Annotated[WhenDecided, Tag("WhenDecided")],
    Discriminator(_which_when),
]


class About(Form):
    """The doubtful part that a choice is about: its prices then say which way is the cheaper."""

    suspect: Id | None = None
    repair: Id | None = Field(default=None, description="left out: the first repair of the suspect")
    cover: Id | None = Field(default=None, description="left out: the repair's; without one, the steps on the way")


class Decide(Form):
    """A choice that the person makes at this step."""

    id: Id
    question: str
    choices: dict[Id, str]
    about: About | None = Field(default=None, description='a doubtful part: "yes" renews it, "no" closes and watches')


class Fill(Form):
    """Fluid that goes in."""

    circuit: Id
    amount: Volume


class Step(Form):
    """One thing to do."""

    id: Id
    do: str
    zone: Zone
    time: Times
    tools: Tools = ()
    needs: tuple[FactText, ...] = ()
    makes: tuple[FactText, ...] = ()
    ends: tuple[FactText, ...] = ()
    after: tuple[Id, ...] = ()
    when: When | None = None
    scope: tuple[Id, ...] = ()
    repeat: int = Field(default=1, ge=1)
    wait: Duration | None = None
    cautions: tuple[str, ...] = ()
    stand_aside: bool = Field(default=False, description="the step itself says to stand aside of hot fluid")
    touches: Temperature | None = Field(default=None, description="how hot what may run over hands can be")
    irreversible: bool = False
    read: tuple[Id, ...] = ()
    loosen: tuple[Id, ...] = ()
    tighten: tuple[Id, ...] = ()
    drain: Id | None = None
    fill: Fill | None = None
    window: Id | None = Field(default=None, description="circuit whose warming is followed to its window here")
    between: Window | None = Field(default=None, description="that window, where it is not its level's: 80..90 °C")
    level: Id | None = Field(default=None, description="circuit whose level is set here")
    fit: tuple[Id, ...] = Field(default=(), description="parts from the kit that are fitted here")
    decide: Decide | None = None
    ask: tuple[Id, ...] = Field(default=(), description="questions to the manual that this step needs answered")
    licensed: str | None = Field(default=None, description="the work a licence is needed for")
    kind: Kind | None = Field(default=None, description="what it works on, when safety hangs on it; or none")


class Sheet(Form):
    """A whole job."""

    sheet: Literal[1]
    id: Id
    title: str
    about: str = ""
    driven: Literal["front", "rear", "all"] | None = None
    scopes: dict[Id, str] = Field(default_factory=dict)
    start: tuple[FactText, ...] = (Fact("parked"), Fact("drivable"))
    end: tuple[FactText, ...] = (Fact("drivable"),)
    asks: dict[Id, Ask] = Field(default_factory=dict)
    circuits: dict[Id, Circuit] = Field(default_factory=dict)
    parts: dict[Id, Part] = Field(default_factory=dict)
    fasteners: dict[Id, Fastener] = Field(default_factory=dict)
    limits: dict[Id, Limit] = Field(default_factory=dict)
    suspects: Suspects = Field(default_factory=dict)
    none_of_these: Share | None = Field(default=None, description="that it is none of the suspects, 5 % or more")
    tests: dict[Id, Test] = Field(default_factory=dict)
    repairs: dict[Id, Repair] = Field(default_factory=dict)
    covers: dict[Id, Cover] = Field(default_factory=dict)
    check_after: CheckAfter | None = None
    quote: Quote | None = None
    steps: tuple[Step, ...] = Field(min_length=1)

    def step(self, step_id: str) -> Step:
        """The step of that id."""
        return next(step for step in self.steps if step.id == step_id)
