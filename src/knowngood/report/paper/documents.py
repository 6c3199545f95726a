"""What stands on paper: the run sheet and the book, as plain words.

Whoever fills these has already chosen every word; the paper only sets them. Nothing here is read as markup: a hash, a
star, a dollar and a backslash come out as they were typed. An empty string or tuple leaves its part out.
"""

from dataclasses import dataclass

from knowngood.engine.judgement import Verdict


@dataclass(frozen=True)
class Blank:
    """Something to fill in by hand.

    Args:
        label: What is written there: "Coil, pins 1 and 3", "4 × housing bolt".
        allowed: What is allowed or wanted: "80–95 ohm at 20 °C", "9 N·m ± 1".
        unit: Printed inside the box.
        boxes: How many boxes: readings to repeat, or bolts to tick.
    """

    label: str
    allowed: str = ""
    unit: str = ""
    boxes: int = 1


@dataclass(frozen=True)
class CardStep:
    """One step of the run sheet.

    Args:
        number: As the pages count: "17".
        do: What to do.
        zone: Where: "Top", "Underneath".
        tools: What is needed in the hand.
        cautions: One sentence each; they stand at this step.
        readings: To measure and write down.
        torques: To tighten and tick; `boxes` is the number of bolts.
        fluids: To drain or fill and write down.
        only_if: When it is done at all: "only if the coil is out of limits".
        done: It was done before printing; the box is ticked.
    """

    number: str
    do: str
    zone: str = ""
    tools: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    readings: tuple[Blank, ...] = ()
    torques: tuple[Blank, ...] = ()
    fluids: tuple[Blank, ...] = ()
    only_if: str = ""
    done: bool = False


@dataclass(frozen=True)
class Ask:
    """What the owner's manual must say, and for which steps."""

    question: str
    wanted_for: str = ""


@dataclass(frozen=True)
class CardData:
    """A paper run sheet.

    Args:
        title: Of the job: "Runs hot in traffic".
        vehicle: "Ondrelle Tavrick 2.2 estate, 148 300 km".
        printed: When, in words.
        steps: In order.
        asks: Still open; they stand on the front page.
        bring: Tools, parts and fluids to lay out first, a line each.
        digest: One digest over what the sheet and the record were when it was printed.
        program: "knowngood 0.1.0".
        caution: One plain sentence for the front page.
    """

    title: str
    vehicle: str
    printed: str
    steps: tuple[CardStep, ...]
    asks: tuple[Ask, ...] = ()
    bring: tuple[str, ...] = ()
    digest: str = ""
    program: str = ""
    caution: str = "Your manual, local rules and licensed trades come first."


@dataclass(frozen=True)
class BookReading:
    """A judged reading, as it was told.

    Args:
        name: What was read.
        verdict: The shape and word in front.
        value: "90.7 ± 1.7 ohm at 20 °C".
        allowed: "80–95 ohm at 20 °C, manual page 41".
        sentence: What the person was told.
        typed: The words as typed, label and words: ("Readings", "100.9 101.2 101.1 ohm").
        instrument: What it was read with.
        when: When it happened, in words.
        picture: An SVG from `picture.band_and_hump(view, width=360)`, or empty.
        assumed: What nobody stated.
    """

    name: str
    verdict: Verdict
    value: str
    allowed: str
    sentence: str
    typed: tuple[tuple[str, str], ...] = ()
    instrument: str = ""
    when: str = ""
    picture: str = ""
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True)
class Section:
    """A part of the book that is a table or a list.

    Args:
        title: "Torques", "Fluids", "Cost".
        rows: Each row's cells; all rows have as many as there are columns. One column makes a list.
        columns: Heads of the columns; empty strings for none.
        numbers: Which columns hold numbers and stand to the right, counted from 0.
        total: Cells of a last, heavier row; empty for none.
        empty: What is said when there is no row: "Nothing was tightened."; when empty too, the part is left out.
    """

    title: str
    rows: tuple[tuple[str, ...], ...]
    columns: tuple[str, ...] = ("",)
    numbers: tuple[int, ...] = ()
    total: tuple[str, ...] = ()
    empty: str = ""


@dataclass(frozen=True)
class BookPhoto:
    """A photo and its caption.

    Args:
        alt: What it shows, for who cannot see it.
        when: "Before", "After" or empty.
        about: What the step does; empty for none.
        words: What was written to it.
        taken: When, in words.
        jpeg: The picture, as large as it shall be on paper; empty when there is none to show.
        missing: Why there is none, and what to do; it stands in the picture's place.
    """

    alt: str
    when: str = ""
    about: str = ""
    words: str = ""
    taken: str = ""
    jpeg: bytes = b""
    missing: str = ""


@dataclass(frozen=True)
class BookData:
    """The record of a job.

    Args:
        title: Of the job.
        vehicle: Name, distance.
        opened: When the job was opened, in words.
        closed: When it was finished; empty while it is open.
        complaint: What the owner said.
        quote: What a shop asked; empty when nobody did.
        as_found: A sentence each.
        as_left: A sentence each.
        readings: In the order they were told.
        sections: Torques, fluids, costs, what was overruled, decisions, notes, open watches, what the manual did not
            say, what was withdrawn: in this order, after the readings.
        photos: The last part: rows of one or two that stand beside each other.
        events: How many events the digest covers.
        digest: Over the sorted event ids.
        program: "knowngood 0.1.0".
        printed: When, in words.
    """

    title: str
    vehicle: str
    opened: str
    printed: str
    closed: str = ""
    complaint: str = ""
    quote: str = ""
    as_found: tuple[str, ...] = ()
    as_left: tuple[str, ...] = ()
    readings: tuple[BookReading, ...] = ()
    sections: tuple[Section, ...] = ()
    photos: tuple[tuple[BookPhoto, ...], ...] = ()
    events: int = 0
    digest: str = ""
    program: str = ""


@dataclass(frozen=True)
class HandOverData:
    """What a mechanic who takes over needs to know.

    Args:
        title: Of the job.
        vehicle: Name, distance.
        printed: When, in words.
        sections: Complaint, codes, what was found, ruled out, done, what stands open: lists, in this order.
        program: "knowngood 0.1.0".
    """

    title: str
    vehicle: str
    printed: str
    sections: tuple[Section, ...] = ()
    program: str = ""
