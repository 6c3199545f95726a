"""Does a job of the library the way a person does it: step after step, each with what it asks for."""

from tests.garages import giving

VEHICLE = "vehicle/own"


class Mechanic:
    """One who owns some instruments and two torque wrenches, and has looked everything up.

    Args:
        garage: An empty one.
        sheet: Which one of the library.
        meters: What is in the toolbox, by name.
        answers: What the manual says.
        read: What is read for each limit.
        chosen: What is chosen at each decision.
        moved: What comes out or goes in at a step, and how warm.
        scope: Chosen size; empty for all.
        opened: What else the job is opened with, such as its quote.
    """

    def __init__(self, garage, sheet, *, meters, answers, read, chosen, moved=(), scope="", **opened):
        self.garage, self.name = garage, sheet.rpartition("_")[2]
        self.give = giving(garage, f"job/{self.name}")
        self.read, self.chosen, self.moved = dict(read), dict(chosen), dict(moved)
        self.give("vehicle_named", VEHICLE, name="Own")
        self.give("described", VEHICLE, text="estate", odometer="120000 km", driven="rear")
        for name, line in meters.items():
            self.give("instrument_added", "toolbox", name=name, line=line)
        for number, span in enumerate(("2..25 N·m", "20..120 N·m")):
            self.give("wrench_added", "toolbox", name=f"wrench {number}", range=span)
        self.give("job_opened", vehicle="own", library=sheet, scope=scope, **opened)
        for ask, typed in answers.items():
            self.give("answered", ask=ask, typed=typed, silent="" if typed else "yes")
        for part in self.job.sheet.parts:
            self.give("kit_got", part=part)

    @property
    def job(self):
        return self.garage.job(self.name)

    def work(self):
        """Do every step that comes next, and return their ids; what is read out of limits is read again once mended."""
        self.give("started")
        done = []
        while step := self.job.run.now:
            self.do(step)
            done.append(step.id)
        return done

    def do(self, step):
        for limit in step.read:
            self.give("reading_judged", step=step.id, limit=limit, **self.read[limit])
        fields = {"step": step.id}
        if step.decide:
            fields["choice"] = self.chosen[step.decide.id]
        if step.drain or step.fill:
            fields["amount"], fields["fluid_c"] = self.moved[step.id]
        self.give("step_done", **fields)
