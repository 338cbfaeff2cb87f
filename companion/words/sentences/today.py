"""What history, body and profile change about a session today, and the cautions that go with it."""

from __future__ import annotations

from companion.words.plural import Plural, Sentences

CAUTIONS: Sentences = {
    "practise_every_movement_first": (
        "New to strength training: practise every movement first, and end each set with 3 or more "
        "repetitions left."
    ),
    "take_time_down_and_up": "Take your time on the way down and up, with something firm to hold on to.",
    "cleared_and_talking_while_working": (
        "Train once your midwife or doctor has cleared you. You can always talk while you work: effort 7 of "
        "10 at most. Bleeding, loss of fluid or contractions: stop and get help now."
    ),
    "cleared_and_breathing_and_walking": (
        "Train once your midwife or doctor has cleared you. Until 6 weeks after the birth, 12 after a "
        "caesarean, breathe and walk only. Heaviness in the pelvic floor, or leaking urine or stool: "
        "stop the movement."
    ),
    "blood_pressure_looked_at_first": (
        "Have your blood pressure looked at first. {upper}/{lower} or more today: no session, and call your "
        "doctor. Breathe out on the effort, do not hold your breath, and take 20 seconds to rise."
    ),
    "ask_which_movements_are_safe": (
        "Ask a health professional first which movements are safe for your back. Lift close to the body, and "
        "have something firm within reach."
    ),
    "begin_with_half_the_weight": (
        "After more than four weeks away begin with about half the weight, or without where none is lighter. "
        "If you were ill or hurt, ask a health professional first."
    ),
    "sore_muscles_that_need_help": (
        "Sore muscles with severe swelling, weakness or dark urine: get urgent help today, and do not train."
    ),
    "blood_pressure_too_high": (
        "Your blood pressure is {upper}/{lower} or more. Sit quietly for five minutes and measure again; if "
        "it stays there, call your doctor today. With chest pain, breathlessness, a severe headache, "
        "weakness, or trouble seeing or speaking: get help now."
    ),
}

QUESTIONS: Sentences = {
    "say_which_week_it_is": (
        "In Settings, say which week it is now: until then the most careful version holds."
    ),
    "say_the_day_of_the_birth": "In Settings, say the day of the birth: until then breathe and walk only.",
    "say_the_week_again": (
        "By now it would be week 42 or later. In Settings, say the week again, or tick that you have given "
        "birth."
    ),
    "breathing_and_walking_until_told": (
        "Breathing and walking only, until the day of the birth is said in Settings."
    ),
    "breathing_and_walking_until": "Breathing and walking only until {day}. Then begin with few minutes.",
}

PAIN: Sentences = {
    "spared_until_tomorrow": (
        "After what you noted today, nothing that loads this joint starts before tomorrow: {joint}. If it "
        "snapped, gave way, locked, tingled or went numb, have a doctor or a physiotherapist look at it "
        "before you load it again."
    ),
    "worse_in_the_morning": (
        "The morning after {day}: {joint}, pain {rating} of 10. Movements that load it stay out. They come "
        "back after a try without weight that leaves no pain the next morning."
    ),
    "worse_in_the_morning_unsaid_today": (
        "The morning after {day}: {joint}, pain {rating} of 10. Movements that load it stay out. They come "
        "back after a try without weight that leaves no pain the next morning. Say how the joint is today."
    ),
    "not_free_in_the_morning": (
        "The morning after {day}: {joint}, pain {rating} of 10. No heavier weights and nothing harder for "
        "now."
    ),
}

CARE: Sentences = {
    "away": Plural(
        "days",
        "1 day since the last session: practice first.",
        "{days} days since the last session: practice first.",
    ),
    "long_away": Plural(
        "days",
        "1 day since the last session: practice first, then only the minimum rounds.",
        "{days} days since the last session: practice first, then only the minimum rounds.",
    ),
    "sore_fewest_rounds": "Sore muscles: only the minimum rounds, and the same movements.",
    "sore_fewer_rounds": "Sore muscles: at most half of the extra rounds, and the same movements.",
    "sore_no_heavier": "Sore muscles: no weight goes up today.",
    "practice_stays": "Practice stays. {why}: {movement}.",
    "movement_and_more": Plural("more", "{movement} and 1 more", "{movement} and {more} more"),
    "practice_new": "New",
    "practice_new_version": "New in this version",
    "practice_days_ago": Plural("days", "Last done 1 day ago", "Last done {days} days ago"),
    "practice_slower": "Slower than last time",
    "practice_heavier": "Heavier than last time",
    "practice_form_slipped": "Form slipped last time",
    "practice_was_easier": "Done in an easier version last time",
    "practice_hurt": "Hurt last time",
    "practice_back_after_pain": "Back after pain",
}

SENTENCES: Sentences = {**CAUTIONS, **QUESTIONS, **PAIN, **CARE}
