"""Short plans for the main job in a browser, and the cues they give."""

from builders import BEND, HAND, plan, warm_up, work

from engine.live.cues import CueKind
from engine.plan.plan import Amount, RoundsRange, SessionPlan, SideChange, WarmUpItem


def short_plan(rounds: int, name: str) -> SessionPlan:
    """Rounds of one movement with one hand at a time, after a warm-up of one item."""
    return plan(
        warm_up(
            items=(WarmUpItem(movement=BEND.slug, amount=Amount(low=4)),), rounds=RoundsRange(min=1, max=1)
        ),
        work(HAND.slug, rounds=RoundsRange(min=rounds, max=rounds), work_s=20, rest_s=15),
        id=name.lower().replace(" ", "-"),
        name=name,
        side_change=SideChange(change_s=5),
    )


SHORT = short_plan(2, "A short one")
ONE_ROUND = short_plan(1, "A very short one")

_ROUND = (
    CueKind.work,
    CueKind.countdown,
    CueKind.change_side,
    CueKind.countdown,
    CueKind.work,
    CueKind.countdown,
)


def cues_of(rounds: int) -> tuple[CueKind, ...]:
    """The lead-in, then left, change and right in each round with a rest between two, and the end."""
    further = (CueKind.rest, CueKind.countdown, *_ROUND) * (rounds - 1)
    return CueKind.block_done, CueKind.countdown, *_ROUND, *further, CueKind.session_done


EXPECTED_CUES = cues_of(rounds=2)
