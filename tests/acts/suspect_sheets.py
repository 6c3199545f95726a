"""Small sheets with suspects whose answers can be worked out by hand."""

import textwrap

from tests.acts.fluid_jobs import JOB, Kept

from knowngood.sheet.reader import read

STEPS = """
steps:
  - {id: tray_off, do: "Tray off", zone: under, time: "5 10 15 min", makes: [off(tray)]}
  - {id: swap, do: "Swap the relay", zone: top, time: "3 6 9 min", fit: [relay], needs: [off(tray)]}
  - {id: tray_on, do: "Tray on", zone: under, time: "5 12 15 min", after: [swap], needs: [off(tray)], ends: [off(tray)]}
"""
# Relay and pump are 4 of 10 each, none of these 2; the click speaks 4 to 1 for the relay when it stays away.
NO_START = f"""
sheet: 1
id: no_start
title: "Does not start"
parts:
  relay: {{name: "Relay", count: 2}}
suspects:
  relay: {{name: "Starter relay", of_10: 4}}
  pump: {{name: "Fuel pump", of_10: 4, kind: fuel}}
tests:
  click: {{name: "Relay clicks", shows: {{relay: "2 of 10"}}, without: "8 of 10", minutes: "4 min", money: 1}}
  hum:
    name: "Pump hums"
    outcomes:
      loud: {{name: "Hums", shows: {{pump: "1 of 10"}}, without: "7 of 10"}}
      faint: {{name: "Hums faintly", shows: {{pump: "3 of 10"}}, without: "2 of 10"}}
      silent: {{name: "Stays silent", shows: {{pump: "6 of 10"}}, without: "1 of 10"}}
    minutes: "2 min"
repairs:
  swap_relay: {{name: "Swap the relay", fixes: {{relay: "9 of 10"}}, part: relay, step: swap, cover: tray}}
covers:
  tray: {{name: "Tray", fact: off(tray), money: 3}}
check_after: {{name: "Start it", minutes: "1 min"}}
quote: {{money: 300, minutes: "30 min"}}
{STEPS}"""
# Two voltages against their limits, both read with one meter; the decision says the same as the second.
VOLTS = """
sheet: 1
id: volts
title: "Cranks slowly"
limits:
  rest: {name: "Battery at rest", band: "min 12.4 V"}
  load: {name: "Battery under load", band: "min 9.6 V"}
suspects: {battery: "Battery", cable: "Cable"}
none_of_these: "20 %"
tests:
  low_rest: {name: "Low at rest", shows: {battery: "8 of 10"}, without: "1 of 10", limit: rest, minutes: "3 min"}
  low_load: {name: "Low under load", shows: {battery: "9 of 10"}, without: "3 of 10", limit: load, minutes: "3 min"}
  dim: {name: "Lights go dim", shows: {battery: "7 of 10"}, without: "2 of 10", decided: dimmed, minutes: "1 min"}
repairs:
  charge: {name: "Charge the battery", fixes: [battery], minutes: "20 min"}
quote: {money: 200}
steps:
  - id: look
    do: "Look at the lights"
    zone: around
    time: "1 2 3 min"
    decide: {id: dimmed, question: "Dim?", choices: {"yes": "They dim", "no": "They stay"}}
"""


def sheet_of(text):
    found = read(textwrap.dedent(text), file="small.yaml")
    assert not found.problems
    return found.sheet


def job_of(folder, text):
    return Kept(folder, text)


__all__ = ["JOB", "NO_START", "VOLTS", "job_of", "sheet_of"]
