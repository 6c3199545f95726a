"""The picture of a proof: how surely a fault that came and went is gone, against how far was driven without it, as SVG.

The strip is what closes the job: believed 19 times out of 20. The dot is where the drives so far have come to.
"""

from knowngood.engine.troubleshooting.worth.proof import LEVELS, Proof
from knowngood.report.pictures.picture import Width
from knowngood.report.pictures.plot import plot

EVERYDAY, SURE = (100.0 * level for level in LEVELS)


def proof_picture(title: str, told: Proof, per: str, *, width: Width = 640) -> str:
    """Return belief against distance as one `svg` element; empty once the fault came back: nothing is believed then.

    Args:
        title: Of the picture.
        told: How far it is proved.
        per: What distances are counted in.
        width: 360 for a phone, 640 for a laptop; texts are drawn for that width. [px]

    Example:
        >>> from knowngood.engine.troubleshooting.worth.proof import Drive, Returns, prove
        >>> told = prove(0.7, Returns(3, 450.0), [Drive(120.0)])
        >>> proof_picture("Gone?", told, "km", width=360)[:33]
        '<svg class="pic" viewBox="0 0 360'
    """
    if told.picture is None:
        return ""
    rows = zip(told.picture.distance.tolist(), told.picture.belief.tolist(), strict=True)
    points = [(at, 100.0 * one) for at, one in rows]
    drawn = plot((0.0, points[-1][0]), (min(50.0, points[0][1]), 100.0), width)
    here = (told.quiet, 100.0 * told.believed)
    driven = [*(one for one in points if one[0] < here[0]), here]
    ahead = [here, *(one for one in points if one[0] > here[0])]
    lines = drawn.line(ahead, "est") + drawn.line(driven, "hump")
    says = f"Gone with {here[1]:.0f} % after {told.quiet:.0f} {per} without it."
    return drawn.svg(
        title, says, drawn.strip(SURE, None), lines, drawn.dot(*here),
        drawn.side([(SURE, f"{SURE:.0f}"), (EVERYDAY, f"{EVERYDAY:.0f}")], drawn.round_marks(), "%"),
        drawn.base(per),
    )  # fmt: skip
