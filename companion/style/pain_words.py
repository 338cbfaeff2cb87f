"""What is said to somebody whom something hurts, while it hurts and afterwards."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from companion.style.safety import URGENT
from companion.style.words import in_series, joint_words
from companion.words.saying import msgid, own, say, words_here
from engine.movements.after_pain import AfterPain, Stage
from engine.movements.pain import SIGNS_OF_INJURY, Advice, PainQuality
from engine.session.fitted import FittedSession
from engine.today.no_session import AboutPain, NextStep, NoSession

ADVICE = {
    Advice.go_on: msgid("Carry on if it feels right. Stop when in doubt."),
    Advice.ease: msgid("Carry on with less weight or move less far. Stop if it does not ease."),
    Advice.retry_unloaded: msgid(
        "Try once without weight, moving less far. Carry on only if it hurts no more than before you started."
    ),
    Advice.stop_movement: msgid("No more of this movement today."),
    Advice.swap_and_leave_out: msgid("Stop this movement for today. It stays out until it is free of pain."),
    Advice.end_session: msgid("End the session here. If it does not settle, ask a health professional."),
    Advice.get_help: msgid("End the session and get help now: call your local emergency number."),
}

LOOKED_AT = msgid("Have a doctor or a physiotherapist look at it before you load it again.")
NERVE_SIGNS = msgid(
    "Get help now if a leg or a hand is weak, if you are numb between the legs, or if you lose control "
    "of bladder or bowel, or cannot pass water."
)


def advice_words(said: Advice, qualities: Collection[PainQuality] = ()) -> str:
    """What to do, and who should look at it after a sign that speaks for an injury or a nerve."""
    more = [LOOKED_AT] if SIGNS_OF_INJURY & set(qualities) else []
    more += [NERVE_SIGNS] if PainQuality.nerve_like in qualities else []
    return " ".join(map(say, [ADVICE[said], *more]))


SIGNS = {
    PainQuality.sharp: msgid("Sharp"),
    PainQuality.sudden: msgid("Sudden"),
    PainQuality.snap: msgid("A snap or pop"),
    PainQuality.giving_way: msgid("Giving way"),
    PainQuality.locking: msgid("Locking"),
    PainQuality.nerve_like: msgid("Tingling, numb"),
}
"""The signs that stop a movement, as they are asked for."""


def after_pain_words(after_pain: AfterPain) -> str:
    """A movement that pain keeps out: since when, and the question that its way back asks next."""
    name = own(after_pain.name)
    if after_pain.stage is Stage.returning:
        return say("Back after pain, lighter: {movement}. Is this joint free of pain today?", movement=name)
    return say(
        "Left out after pain: {movement}, since {day}. It stays out until you have practised it without a "
        "weight and nothing hurt the next morning. How is this joint today?",
        movement=name,
        day=after_pain.since,
    )


ABOUT_PAIN = {
    AboutPain.urgent_signs: msgid("Any of the signs above?"),
    AboutPain.nerve_signs: msgid("Any tingling, numbness or weakness?"),
    AboutPain.swelling: msgid("Is it swollen?"),
    AboutPain.injury: msgid("Did it begin with a fall, a blow, a twist, a snap or a pop?"),
}
"""What somebody is asked whom a joint hurts too much for a session."""
NEXT_STEP = {
    NextStep.rest: msgid(
        "Rest the joint today. If it does not settle, or gets worse, ask a doctor or a physiotherapist."
    ),
    NextStep.see_clinician: msgid("Have a doctor or a physiotherapist look at it before you train again."),
    NextStep.get_help: msgid("Get help now: call your local emergency number."),
}
NO_SESSION = msgid("No strength session today")
WHEN_YES = msgid(
    "If any answer is yes: have a doctor or a physiotherapist look at it before you train again."
)
TELL_COACH = msgid("Tell your coach about it.")
BAD_AGAIN = msgid(
    "It was 6 or more on another day of the last 7: have a doctor or a physiotherapist look at it before you "
    "train again."
)
START_EASY = msgid("Start easy movement")
ABOUT_EASY = msgid("Sit down for it if standing is too much. It is recorded, but not counted as a session.")
NO_EASY_MOVEMENT = msgid(
    "Too few movements spare it and the joints beside it, so there is no easy movement today."
)
EASY_MOVEMENT_LATER = msgid(
    "Easy movement for a few minutes, without a weight, only where the application offers it: it asks all of "
    "this first, and every answer has to be no."
)
"""For a terminal, which asks nothing."""


def easy_title(session: FittedSession) -> str:
    """“Or easy movement, 8 min”."""
    return say("Or easy movement, {minutes} min", minutes=session.minutes)


def easy_words(session: FittedSession) -> str:
    """What easy movement is, and what holds for it: “Arm circles and Wrist circles. Stop if it hurts …”"""
    names = [own(item.chosen.name) for block in session.blocks for item in block.items]
    movements = say("{movements}.", movements=words_here().listed(names))
    return " ".join([movements, *map(own, session.stop_rules)])


def pain_today(why: NoSession) -> str:
    """“left knee, pain 7 of 10”, each joint that hurts too much."""
    return in_series(
        say("{joint}, pain {rating} of 10", joint=joint_words(one.joint, one.side), rating=one.rating)
        for one in why.joints
    )


def no_session_lines(why: NoSession) -> Iterator[str]:
    """The advice in full, for a terminal: the urgent signs first."""
    yield say("No strength session today: {pain}.", pain=pain_today(why))
    yield say(URGENT)
    yield from (say(text) for about, text in ABOUT_PAIN.items() if about is not AboutPain.urgent_signs)
    yield say(BAD_AGAIN if why.again else WHEN_YES)
    yield say(NEXT_STEP[NextStep.rest])
    if why.permits_easy_movement(dict.fromkeys(AboutPain, False)):
        yield say(EASY_MOVEMENT_LATER)
    yield say(TELL_COACH)
