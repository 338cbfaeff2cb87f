"""The plan of the main job in the browser, and the cues it gives."""

from builders import BEND, HAND, plan, warm_up, work

from engine.live.cues import CueKind
from engine.plan.plan import Dose, RoundsRange, SideChange, WarmUpItem

SHORT = plan(
    warm_up(items=(WarmUpItem(movement=BEND.slug, dose=Dose(low=4)),), rounds=RoundsRange(min=1, max=1)),
    work(HAND.slug, rounds=RoundsRange(min=2, max=2), work_s=20, rest_s=15),
    id="a-short-one",
    name="A short one",
    side_change=SideChange(change_s=5),
)


EXPECTED_CUES = (
    CueKind.block_done,
    CueKind.countdown,
    *(
        CueKind.work,
        CueKind.countdown,
        CueKind.change_side,
        CueKind.countdown,
        CueKind.work,
        CueKind.countdown,
    ),
    *(CueKind.rest, CueKind.countdown),
    *(
        CueKind.work,
        CueKind.countdown,
        CueKind.change_side,
        CueKind.countdown,
        CueKind.work,
        CueKind.countdown,
    ),
    CueKind.session_done,
)
"""Two rounds of one movement with one hand at a time: lead-in, left, change, right, rest, and again."""
