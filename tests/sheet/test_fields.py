"""Numbers of a sheet: what may be thousands or a fraction is told at its line, and what no vehicle has."""

import pytest

from knowngood.sheet.reader import read, read_kept

HEAD = 'sheet: 1\nid: x\ntitle: "X"\n'
STEPS = 'steps:\n  - {id: a, do: "look", zone: top, time: "1 2 3 min"}\n'


def messages(part):
    return [one.message for one in read(HEAD + part + STEPS, file="x.yaml").problems]


@pytest.mark.parametrize(
    ("part", "message"),
    [
        ('limits:\n  a: {name: A, band: "min 1,000 kPa"}\n',
         'x.yaml:5: limits "a": band: "1,000 kPa" may mean thousands or a fraction. '
         'Write "1000 kPa" or "1.000 kPa".'),
        ('limits:\n  a: {name: A, band: "min 1,000 kPa", quantity: cylinder_compression}\n',
         'x.yaml:5: limits "a": band: "1,000 kPa" may mean thousands or a fraction. '
         'Write "1000 kPa" or "1.000 kPa".'),
        ('fasteners:\n  a: {name: A, torque: "1,250 N·m"}\n',
         'x.yaml:5: fasteners "a": torque: "1,250 N·m" may mean thousands or a fraction. '
         'Write "1250 N·m" or "1.250 N·m".'),
        ('fasteners:\n  a: {name: A, torque: ". . . .8 N·m"}\n',
         'x.yaml:5: fasteners "a": torque: ". . . .8 N·m" has dots before its number. Write "8 N·m" or "0.8 N·m".'),
        ('fasteners:\n  a: {name: A, torque: "0 N·m"}\n',
         'x.yaml:5: fasteners "a": torque: "0 N·m" is not above zero. Write what is stated, such as "8 N·m".'),
        ('circuits:\n  a: {name: A, fluid: coolant, holds: "5,300 mL", refill: cap}\n',
         'x.yaml:5: circuits "a": holds: "5,300 mL" may mean thousands or a fraction. '
         'Write "5300 mL" or "5.300 mL".'),
        ('circuits:\n  a: {name: A, fluid: coolant, holds: "1e300 L", refill: cap}\n',
         'x.yaml:5: circuits "a": holds: "1e300 L" is more than 2000 L: no vehicle holds more. '
         "Check the number and its unit."),
        ('circuits:\n  a: {name: A, fluid: coolant, holds: "-2 L", refill: cap}\n',
         'x.yaml:5: circuits "a": holds: "-2 L" is not above zero. Write what is stated, such as "3.2 L".'),
    ],
)  # fmt: skip
def test_told_at_its_line(part, message):
    assert messages(part) == [message]


def test_the_quantity_rules_thousands_out_wherever_it_stands():
    for limit in ('{name: A, band: "min 21,985 mm", quantity: disc_thickness}',
                  '{quantity: disc_thickness, band: "min 21,985 mm", name: A}'):  # fmt: skip
        found = read(f"{HEAD}limits:\n  a: {limit}\n{STEPS}", file="x.yaml")
        assert found.problems == ()
        assert found.sheet.limits["a"].band.lower == 21.985


KEPT = HEAD + 'limits:\n  a: {name: A, band: "min 1,000 kPa"}\nfasteners:\n  b: {name: B, torque: "0 N·m"}\n' + STEPS


def test_a_kept_sheet_stays_as_it_was_read_and_says_what_to_mend():
    assert read(KEPT, file="x.yaml").sheet is None
    kept = read_kept(KEPT, file="x.yaml")
    assert kept.sheet.limits["a"].band.lower == 1.0
    assert [one.line for one in kept.problems] == [5, 7]


def test_what_was_no_sheet_before_stays_none():
    assert read_kept("a: [", file="x.yaml").sheet is None
    assert read_kept(HEAD, file="x.yaml").sheet is None
