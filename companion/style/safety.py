"""What is said for safety, on screen, on paper and in a terminal."""

from companion.words.saying import msgid

CAUTIONS = (
    msgid("This is general training information, not medical advice."),
    msgid("With a condition, an injury, a pregnancy or after a long break, ask a health professional first."),
    msgid("Joint pain is never pushed through: stop the movement at once."),
    msgid("Local rules and the judgement of a qualified coach or clinician come first."),
)
URGENT_SIGNS = msgid(
    "Chest pain or pressure; pain spreading to jaw, neck, arm or back; fainting or severe dizziness; unusual "
    "breathlessness; a racing or irregular heartbeat; a cold sweat; a sudden severe headache; sudden "
    "weakness or numbness; trouble speaking or seeing; numbness between the legs; loss of bladder or bowel "
    "control; one calf swollen; dark urine after hard training; a blow to the head; in pregnancy bleeding, "
    "loss of fluid or contractions."
)
"""Up to speaking or seeing: pages of hospitals for the public. Between the legs, the calf, dark urine, the
head and pregnancy: from memory."""
URGENT = msgid(
    "Stop and get help now: chest pain or pressure; pain spreading to jaw, neck, arm or back; fainting or "
    "severe dizziness; unusual breathlessness; a racing or irregular heartbeat; a cold sweat; a sudden "
    "severe headache; sudden weakness or numbness; trouble speaking or seeing; numbness between the legs; "
    "loss of bladder or bowel control; one calf swollen; dark urine after hard training; a blow to the "
    "head; in pregnancy bleeding, loss of fluid or contractions. Call your local emergency number."
)
"""When to get help at once: the same signs within their sentence."""
CALL_NOW = msgid("Call your local emergency number now")
UNTIL_HELP_COMES = (
    msgid("Sit or lie down, the way you breathe best."),
    msgid("Do not be alone: call somebody, or stay on the line."),
    msgid("Do not drive yourself."),
)
"""What to do until help comes, for somebody who has said that they need it. A position of comfort, not left
alone: European Resuscitation Council, Guidelines 2021, First aid. Not driving: pages of hospitals for the
public. Both from memory."""
HELPERS_FIRST = msgid(
    "This is general information, not medical advice: what the emergency service says comes first."
)
HELP_ROW = msgid("Chest, breath, faint, numb: get help")
"""The way to the urgent signs, above every question about pain."""
CAUTION_IN_BRIEF = msgid(
    "Clear about 2 × 2 m of dry floor; stop at any joint pain; get help for chest pain, fainting or "
    "unusual breathlessness; your clinician and local rules come first."
)
"""The cautions in one sentence, for the terminal."""
ROOM = msgid(
    "Room of about 2 × 2 m, dry floor with grip, children and pets out, weights clear of head and feet."
)
ROOM_CHECK = (
    msgid("Room of about 2 × 2 m."),
    msgid("Dry floor with grip."),
    msgid("Children and pets out."),
    msgid("Weights clear of head and feet."),
)
"""The same as a list to tick off."""
