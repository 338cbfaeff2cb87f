"""A plan and its adjustments: what they ask for, and how its work is balanced."""

from __future__ import annotations

from companion.words.plural import Plural, Sentences

SENTENCES: Sentences = {
    "asked_for": "From {author} to {trainee}, until {until:date}.",
    "asked_for_plan": "From {author} to {trainee}, for the plan “{plan}”, until {until:date}.",
    "spare_joint": "Spare: {joint}. Other movements take the place of those that load it.",
    "spare_joint_until": (
        "Spare until {until:date}: {joint}. Other movements take the place of those that load it."
    ),
    "next_weight_after_one": "Next weight after one clear session: {movement}.",
    "next_weight_after_two": "Next weight after two clear sessions: {movement}.",
    "rounds_at_most": Plural(
        "rounds", "At most {rounds} round of each work block.", "At most {rounds} rounds of each work block."
    ),
    "rounds_exactly": Plural(
        "rounds", "Exactly {rounds} round of each work block.", "Exactly {rounds} rounds of each work block."
    ),
    "minutes_are_enough": "About {minutes} min are enough; you still choose your minutes.",
    "leave_out": "Leave out: {movement}.",
    "remark": "Remark: {remark}",
    "sets_by_pattern": "Sets: {sets}.",
    "sets_of_pattern": "{pattern} {sets}",
    "sets_of_pattern_between": "{pattern} {fewest}–{most}",
    "even_push_pull": "Push {one}, pull {other}: about the same.",
    "more_push": "Push {one}, pull {other}: clearly more push.",
    "more_pull": "Push {one}, pull {other}: clearly more pull.",
    "no_push_no_pull": "No push and no pull.",
    "even_squat_hinge": "Squat and lunge {one}, hinge {other}: about the same.",
    "more_squat": "Squat and lunge {one}, hinge {other}: clearly more squat and lunge.",
    "more_hinge": "Squat and lunge {one}, hinge {other}: clearly more hinge.",
    "no_squat_no_hinge": "No squat, no lunge and no hinge.",
    "regions_take_turns": "lower and upper body take turns.",
    "lower_body_in_a_row": "two movements for the lower body in a row, {first} and {second}.",
    "upper_body_in_a_row": "two movements for the upper body in a row, {first} and {second}.",
    "only_regions": "only {regions}.",
    "region_lower": "lower body",
    "region_upper": "upper body",
    "region_trunk": "trunk",
}
