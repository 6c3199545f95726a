"""Entries about a fault: what a test showed, whether a repair helped, what was done first, and trouble codes."""

from collections.abc import Callable, Mapping

from knowngood.acts.faults.checked_again import GONE
from knowngood.acts.faults.first_actions import BY_KEY, FIRST, NOTED, SKIPPED
from knowngood.acts.faults.found import STILL_THERE, SURE, SUREST
from knowngood.acts.job.garage import Garage
from knowngood.acts.record.entries import Draft, Entry
from knowngood.acts.record.said import word_said
from knowngood.checks.chances import outcomes_of
from knowngood.checks.safety import sealed_test
from knowngood.engine.troubleshooting.model.codes import Status, decode
from knowngood.refusal import Refused, parsed
from knowngood.sheet.model import Sheet
from knowngood.words import capital


def finding_noted(garage: Garage, entry: Entry) -> list[Draft]:
    """What a test showed, whether the fault is still there after a repair, or a first action noted or skipped."""
    key = entry.needed("test", "which test or repair it is about")
    if words := sealed_test(garage.job(entry.of).sheet, key):
        raise Refused({"outcome": capital(words)})
    said, sheet = entry.text("text"), garage.job(entry.of).sheet
    name, allowed = _allowed(sheet, key)
    outcome = entry.needed("outcome", f"what it showed: {' or '.join(allowed)}")
    if outcome not in allowed:
        raise Refused({"outcome": f'"{outcome}" is nothing that "{name}" can show. Take {" or ".join(allowed)}.'})
    if outcome == NOTED and key.startswith(FIRST):
        said = entry.needed("text", f"what you found, such as {BY_KEY[key].like}; or skip it")
    sure = entry.text("sure") or SUREST
    if sure not in SURE:
        raise Refused({"sure": f'"{sure}" does not say how sure you are. Take {", ".join(SURE)}.'})
    return [Draft("finding_noted", {"test": key, "name": name, "outcome": outcome, "sure": sure, "text": said})]


def _allowed(sheet: Sheet, key: str) -> tuple[str, tuple[str, ...]]:
    """Return what something is called, and what it can show."""
    if key in BY_KEY:
        return BY_KEY[key].name, (NOTED, SKIPPED)
    if key in sheet.tests:
        return sheet.tests[key].name, outcomes_of(sheet.tests[key])
    if key in sheet.repairs:
        return sheet.repairs[key].name, (STILL_THERE, GONE)
    known = ", ".join((*sheet.tests, *sheet.repairs)) or "none"
    raise Refused({"test": f'"{key}" is no test or repair of this job. It has {known}.'})


def code_noted(_: Garage, entry: Entry) -> list[Draft]:
    """A trouble code as the tool shows it, with what was stored beside it and what the manual says of it."""
    typed, status = entry.needed("code", "the code as the tool shows it, such as P0300"), entry.text("status").lower()
    code = parsed("code", lambda: decode(typed))
    if status and status not in set(Status):
        raise Refused({"status": f'"{status}" is no status of a code. Take {", ".join(Status)}, or leave it empty.'})
    dashed = f"{code.code}-{code.failure_type}" if code.failure_type else code.code
    kept = {"manual": entry.text("manual"), "conditions": entry.text("conditions")}
    return [Draft("code_noted", {"code": dashed, "status": status, **kept})]


FINDINGS: Mapping[str, Callable[[Garage, Entry], list[Draft]]] = {
    "finding_noted": finding_noted,
    "code_noted": code_noted,
    "word_said": word_said,
}
