"""Sheets at random, drawn from the schema: whatever a sheet may say, some of them say it.

What the schema does not tell (which section a name points to, what follows from two fields together) stands in the
tables here; a new field that none of them knows is drawn by its type.
"""

import json
import re
from collections.abc import Callable, Mapping, Sequence
from random import Random
from typing import Any

from knowngood.quantities.known import QUANTITIES, example_words
from knowngood.sheet.schema import schema
from knowngood.sheet.suspects import OF_TEN

# What a question is answered by, by the example that the schema shows where it may stand.
ANSWERED_BY = {
    "8 N·m ± 1": "torque", "6.2 L ± 0.3": "volume", "350 mm ± 10": "length", "850 kg/m³": "density",
    "-25 °C": "temperature", "5 mm": "length", "80..95 ohm": "limits", "35..45 °C": "temperatures",
}  # fmt: skip
# Where a name points to another part of the sheet: the section that it is of.
POINTS_TO = {
    "scope": "scopes", "read": "limits", "limit": "limits", "loosen": "fasteners", "tighten": "fasteners",
    "drain": "circuits", "window": "circuits", "level": "circuits", "circuit": "circuits", "fit": "parts",
    "part": "parts", "left_in": "parts", "step": "steps", "cover": "covers", "suspect": "suspects",
    "repair": "repairs", "covers": "suspects", "again": "limits", "shows": "suspects", "fixes": "suspects",
}  # fmt: skip
SECTIONS = ("scopes", "circuits", "parts", "fasteners", "limits", "suspects", "tests", "repairs", "covers")
WORDS = ("Fan relay", 'Line "B" <i>behind</i> & below', "Größe Ω – 2 × {0} %s", "y" * 90)
# Limits without a quantity, of kinds that have models of their own and of kinds that are only shown.
BANDS = ("80..95 ohm", "max 0.2 V", "min 12.4 V", "0.5..0.9 mm", "max 50 mA", "38..48 °C", "2.2..2.4 bar", "8 N·m ± 1")
OF_PATTERN = {r"^[a-z][a-z0-9_]*$": ("alike", "other_one"), OF_TEN.pattern: ("0.5 of 10", "7 of 10", "10 of 10")}
CHOICES = ("yes", "no", "later")
OFTEN = 0.5


class _Draw:
    """One sheet in the making: its names are there before anything points to them."""

    def __init__(self, seed: int) -> None:
        self.random = Random(seed)
        self.schema = schema()
        self.names: dict[str, list[str]] = {
            section: [f"{section[0]}{section[-2]}{number}" for number in range(self.random.randint(1, 3))]
            for section in SECTIONS
        }
        self.names["steps"] = [f"step{number}" for number in range(self.random.randint(3, 6))]
        self.decisions = {f"choose_{step}": step for step in self.names["steps"] if self.often()}
        self.bands = {limit: self._band() for limit in self.names["limits"]}
        self.asks: dict[str, dict[str, str]] = {}
        self.open_at: set[str] = set()

    def often(self, share: float = OFTEN) -> bool:
        return self.random.random() < share

    def some(self, names: Sequence[str]) -> list[str]:
        return [name for name in names if self.often()]

    def _band(self) -> tuple[str | None, str]:
        """A quantity, and limits that it judges."""
        name = self.random.choice([None, *QUANTITIES])
        return name, example_words(QUANTITIES[name])["limits"] if name else self.random.choice(BANDS)

    def form(self, name: str, **fixed: Any) -> dict[str, Any]:
        """A part of a sheet: all that it must have, some of what it may have, and what is fixed."""
        form = self.schema["$defs"][name] if name != "Sheet" else self.schema
        needed = form.get("required", ())
        drawn = {
            key: fixed[key] if key in fixed else self.value(what, name, key)
            for key, what in form["properties"].items()
            if key in fixed or key in needed or self.often()
        }
        written = {key: one for key, one in drawn.items() if one is not None}
        return MENDED[name](self, written) if name in MENDED else written

    def value(self, what: Mapping[str, Any], form: str, key: str) -> Any:
        """A value that the schema allows there."""
        if own := OWN.get((form, key)) or OWN.get(("", key)):
            return own(self)
        if "$ref" in what:
            name = what["$ref"].rpartition("/")[2]
            enum = self.schema["$defs"][name].get("enum")
            return self.random.choice(enum) if enum else self.form(name)
        ways = [one for one in what.get("anyOf", what.get("oneOf", ())) if one.get("type") != "null"]
        if any("ask" in way.get("properties", ()) for way in ways):
            return self.or_ask(ways[0]["examples"][0], f"{form}.{key}".removesuffix(" of"))
        if key in POINTS_TO and (form, key) != ("Circuit", "level"):
            return self._pointing(what, ways, form, key)
        if ways:
            return self.value(self.random.choice(ways), form, key)
        return self._plain(what, form, key)

    def _plain(self, what: Mapping[str, Any], form: str, key: str) -> Any:
        if "const" in what or "enum" in what:
            return self.random.choice(what.get("enum", [what.get("const")]))
        if "examples" in what:
            return self.random.choice(what["examples"])
        draw: dict[str, Callable[[], Any]] = {
            "integer": lambda: self.random.randint(what.get("minimum", 1), min(3, what.get("maximum", 3))),
            "number": lambda: self.random.choice([0.5, 3, 9]),
            "boolean": self.often,
            "string": lambda: self.random.choice(OF_PATTERN[what["pattern"]] if "pattern" in what else WORDS),
            "array": lambda: [self.value(what["items"], form, key) for _ in range(self.random.randint(1, 2))],
        }
        return draw[what["type"]]()

    def or_ask(self, example: str, place: str, *, like: str = "") -> Any:
        """A value as written, or a question of its own."""
        like = like or example
        return like if self.often() else {"ask": self.question(place, ANSWERED_BY[example], like)}

    def question(self, place: str, answer: str, like: str) -> str:
        """A question to the manual, by name."""
        self.open_at.add(place)
        name = f"ask{len(self.asks)}"
        self.asks[name] = {"question": f"{place}: {self.random.choice(WORDS)}", "answer": answer, "like": like}
        return name

    def _pointing(self, what: Mapping[str, Any], ways: Sequence[Mapping[str, Any]], form: str, key: str) -> Any:
        """One name or several of the section that is meant; where names are keys, something with each."""
        names = self.names[POINTS_TO[key]]
        shapes = [what, *ways]
        keyed = next((one for one in shapes if "patternProperties" in one), None)
        if keyed:
            (inner,) = keyed["patternProperties"].values()
            return {name: self.value(inner, form, f"{key} of") for name in self.some(names) or names[:1]}
        if any(one.get("type") == "array" for one in shapes):
            return self.some(names)
        return self.random.choice(names)

    def facts(self) -> list[str]:
        """Facts about what the sheet names, words of its own among them."""
        of = {key: self.random.choice(self.names[key]) for key in ("circuits", "parts", "fasteners")}
        known = [
            "raised(front)", "on_stands(rear)", f"off({of['parts']})", f"open({of['circuits']}.fill)",
            "running(engine)", f"hot({of['circuits']})", f"drained({of['circuits']})", f"loose({of['fasteners']})",
            "in_gear", "level", "lamp_out",
        ]  # fmt: skip
        return self.random.sample(known, self.random.randint(1, 3))


def _sheet(draw: _Draw) -> dict[str, Any]:
    parts = {
        "circuits": "Circuit", "parts": "Part", "fasteners": "Fastener", "tests": "Test", "repairs": "Repair",
        "suspects": "Suspect",
    }  # fmt: skip
    sections: dict[str, Any] = {
        section: {name: draw.form(form) for name in draw.names[section]} for section, form in parts.items()
    }
    sections["scopes"] = {name: draw.random.choice(WORDS) for name in draw.names["scopes"]}
    sections["limits"] = {name: _limit(draw, name) for name in draw.names["limits"]}
    covers = draw.names["covers"]
    sections["covers"] = {
        name: draw.form("Cover", inside=draw.random.choice([None, *covers[:place]]))
        for place, name in enumerate(covers)
    }
    steps = draw.names["steps"]
    sections["steps"] = [
        draw.form("Step", id=name, after=draw.some(steps[:place]), decide=_decide(draw, name))
        for place, name in enumerate(steps)
    ]
    return draw.form("Sheet", sheet=1, id="drawn", title="Drawn at random", asks=draw.asks, **sections)


def _limit(draw: _Draw, name: str) -> dict[str, Any]:
    quantity, band = draw.bands[name]
    example = example_words(QUANTITIES[quantity]) if quantity else {}
    asks = [ask.name for ask in QUANTITIES[quantity].asks if ask.name in example] if quantity else []
    given = {ask: example[ask] for ask in draw.some(asks)}
    written = draw.or_ask("80..95 ohm", "Limit.band", like=band)
    return draw.form("Limit", band=written, quantity=quantity, given=given)


def _decide(draw: _Draw, step: str) -> dict[str, Any] | None:
    decision = next((key for key, at in draw.decisions.items() if at == step), None)
    return draw.form("Decide", id=decision) if decision else None


def _when(draw: _Draw) -> dict[str, Any]:
    if draw.decisions and draw.often():
        return {"decided": draw.random.choice([*draw.decisions]), "is": draw.random.choice(CHOICES)}
    return {"limit": draw.random.choice(draw.names["limits"]), "is": draw.random.choice(["within", "out", "cant_tell"])}


def _test(draw: _Draw, found: dict[str, Any]) -> dict[str, Any]:
    """A test has one form: outcomes, or yes and no; and is found in one place."""
    if "outcomes" in found:
        return {key: one for key, one in found.items() if key not in ("shows", "without", "limit")}
    if "decided" in found:
        found.pop("limit", None)
    return found


def _outcomes(draw: _Draw) -> dict[str, Any]:
    return {choice: draw.form("Shown") for choice in CHOICES[: draw.random.randint(2, 3)]}


def _suspect(draw: _Draw, found: dict[str, Any]) -> dict[str, Any]:
    if "of_10" in found:
        found.pop("rank", None)
    return found


def _quote(draw: _Draw, found: dict[str, Any]) -> dict[str, Any]:
    return {"beyond": 40, **found}


def _tilt(draw: _Draw) -> str | None:
    tilts = [name for name, (quantity, _) in draw.bands.items() if quantity == "tilt"]
    return draw.random.choice([None, *tilts])


MENDED: Mapping[str, Callable[[_Draw, dict[str, Any]], dict[str, Any]]] = {
    "Test": _test, "Suspect": _suspect, "Quote": _quote,
}  # fmt: skip
OWN: Mapping[tuple[str, str], Callable[[_Draw], Any]] = {
    **{("", key): _Draw.facts for key in ("start", "end", "needs", "makes", "ends", "depends")},
    ("Cover", "fact"): lambda draw: draw.facts()[0],
    ("Fastener", "single_use"): lambda draw: draw.random.choice(draw.names["parts"]),
    ("Fastener", "thread"): lambda _: "M12 × 1.5",
    ("Step", "when"): _when,
    ("Step", "ask"): lambda draw: [draw.question("Step.ask", "words", "SAE 75W-90")] if draw.often(0.3) else [],
    ("Decide", "choices"): lambda draw: {choice: draw.random.choice(WORDS) for choice in CHOICES},
    ("Test", "decided"): lambda draw: draw.random.choice([None, *draw.decisions]),
    ("Test", "outcomes"): _outcomes,
    ("TiltRead", "along"): _tilt,
    ("TiltRead", "across"): _tilt,
    ("Circuit", "refill"): lambda _: "drawn.fill",
}  # fmt: skip


def random_sheet(seed: int) -> tuple[str, set[str]]:
    """Return a sheet as text, and the places where it asks the manual, such as "Limit.band"."""
    draw = _Draw(seed)
    return json.dumps(_sheet(draw), ensure_ascii=False, indent=1), draw.open_at


def askable() -> set[str]:
    """Every place where a question may stand, by the schema."""
    whole = schema()
    forms = {"Sheet": whole, **whole["$defs"]}
    places = set()
    for name, form in forms.items():
        for key, what in form.get("properties", {}).items():
            if re.search(r'"properties": \{"ask":', json.dumps(what)):
                places.add(f"{name}.{key}")
    return places
