"""What is said to somebody whom something hurts, while it hurts and afterwards."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from companion.style.safety import URGENT
from companion.style.words import day_words, joint_words
from engine.movements.after_pain import AfterPain, Stage
from engine.movements.pain import SIGNS_OF_INJURY, Advice, PainQuality
from engine.session.fitted import FittedSession
from engine.today.no_session import AboutPain, NextStep, NoSession

ADVICE = {
    Advice.go_on: "Carry on if it feels right. Stop when in doubt.",
    Advice.ease: "Carry on with less weight or move less far. Stop if it does not ease.",
    Advice.retry_unloaded: (
        "Try once without weight, moving less far. Carry on only if it hurts no more than before you started."
    ),
    Advice.stop_movement: "No more of this movement today.",
    Advice.swap_and_leave_out: "Stop this movement for today. It stays out until it is free of pain.",
    Advice.end_session: "End the session here. If it does not settle, ask a health professional.",
    Advice.get_help: "End the session and get help now: call your local emergency number.",
}

LOOKED_AT = "Have a doctor or a physiotherapist look at it before you load it again."
NERVE_SIGNS = (
    "Get help now if a leg or a hand is weak, if you are numb between the legs, or if you cannot hold or "
    "pass water."
)


def advice_words(said: Advice, qualities: Collection[PainQuality] = ()) -> str:
    """What to do, and who should look at it after a sign that speaks for an injury or a nerve."""
    more = [LOOKED_AT] if SIGNS_OF_INJURY & set(qualities) else []
    more += [NERVE_SIGNS] if PainQuality.nerve_like in qualities else []
    return " ".join([ADVICE[said], *more])


SIGNS = {
    PainQuality.sharp: "Sharp",
    PainQuality.sudden: "Sudden",
    PainQuality.snap: "A snap or pop",
    PainQuality.giving_way: "Giving way",
    PainQuality.locking: "Locking",
    PainQuality.nerve_like: "Tingling, numb",
}
"""The signs that stop a movement, as they are asked for."""


def after_pain_words(after_pain: AfterPain) -> str:
    """A movement that pain keeps out: since when, and the question that its way back asks next."""
    name = after_pain.name
    if after_pain.stage is Stage.returning:
        return f"{name} comes back, with less weight. Is this joint free of pain today?"
    return (
        f"{name}, since {day_words(after_pain.since)}. It stays out of the rounds until it was practised "
        "without a weight and nothing hurt the next morning. How is this joint today?"
    )


ABOUT_PAIN = {
    AboutPain.urgent_signs: "Any of the signs above?",
    AboutPain.nerve_signs: "Any tingling, numbness or weakness?",
    AboutPain.swelling: "Is it swollen?",
    AboutPain.injury: "Did it begin with a fall, a blow, a twist, a snap or a pop?",
}
"""What somebody is asked whom a joint hurts too much for a session."""
NEXT_STEP = {
    NextStep.rest: (
        "Rest the joint today. If it does not settle, or gets worse, ask a doctor or a physiotherapist."
    ),
    NextStep.see_clinician: "Have a doctor or a physiotherapist look at it before you train again.",
    NextStep.get_help: "Get help now: call your local emergency number.",
}
NO_SESSION = "No strength session today"
WHEN_YES = "If any answer is yes: have a doctor or a physiotherapist look at it before you train again."
TELL_COACH = "Tell your coach about it."
BAD_AGAIN = (
    "It was 6 or more on another day of the last 7: have a doctor or a physiotherapist look at it before you "
    "train again."
)
START_EASY = "Start easy movement"
ABOUT_EASY = "Sit down for it if standing is too much. It is recorded, and counts as no session."
NO_EASY_MOVEMENT = "Too few movements spare it and the joints beside it, so there is no easy movement today."
EASY_MOVEMENT_LATER = (
    "Easy movement for a few minutes, without a weight, only where the application offers it: it asks all of "
    "this first, and every answer has to be no."
)
"""For a terminal, which asks nothing."""


def easy_title(session: FittedSession) -> str:
    """“Or easy movement, 8 min”."""
    return f"Or easy movement, {session.minutes:g} min"


def easy_words(session: FittedSession) -> str:
    """What easy movement is, and what holds for it: “Arm circles, Wrist circles. Stop if it hurts …”"""
    names = [item.chosen.name for block in session.blocks for item in block.items]
    return f"{', '.join(names)}. {' '.join(session.stop_rules)}"


def pain_today(why: NoSession) -> str:
    """“left knee, pain 7 of 10”, each joint that hurts too much."""
    joints = ((joint_words(one.joint, one.side), one.rating) for one in why.joints)
    return "; ".join(f"{joint}, pain {rating} of 10" for joint, rating in joints)


def no_session_lines(why: NoSession) -> Iterator[str]:
    """The advice in full, for a terminal: the urgent signs first."""
    yield f"{NO_SESSION}: {pain_today(why)}."
    yield URGENT
    yield from (text for about, text in ABOUT_PAIN.items() if about is not AboutPain.urgent_signs)
    yield BAD_AGAIN if why.again else WHEN_YES
    yield NEXT_STEP[NextStep.rest]
    if why.permits_easy_movement(dict.fromkeys(AboutPain, False)):
        yield EASY_MOVEMENT_LATER
    yield TELL_COACH
