"""A plan and its adjustments: what they ask for, what may be cut, and how its work is balanced."""

from __future__ import annotations

from companion.words.plural import Plural, Sentences

PLAN: Sentences = {
    "plan_by": "{plan}, by {author}.",
    "plan_alone": "{plan}.",
    "as_written": "{text}",
    "block_and_movements": "{block}: {movements}.",
    "warm_up_of": "Warm-up, {rounds}",
    "practice_block": "Practice, {practice}",
    "work_of": "Work, {rounds} of {work:seconds} work and {rest:seconds} rest",
    "work_of_with_round_rest": (
        "Work, {rounds} of {work:seconds} work and {rest:seconds} rest, {between:seconds} between rounds"
    ),
    "cool_down_of": "Cool-down, {length:clock} in equal parts",
    "so_many_rounds": Plural("rounds", "{rounds} round", "{rounds} rounds"),
    "rounds_from_to": "{fewest} to {most} rounds",
    "practice_of_seconds": "{work:seconds} each with {rest:seconds} between",
    "practice_of_amount": "{amount} of each",
    "one_or_other": "{one}, or {other}",
    "low_to_high": "{low}–{high}",
    "times": "{number}",
    "times_a_side": "{number} a side",
    "times_alternating": "{number} alternating",
    "seconds_held": "{number} s",
    "seconds_a_side": "{number} s a side",
    "seconds_alternating": "{number} s alternating",
    "on_occasion": "{movement} ({occasion})",
    "instead_of": "Instead of {movement}: {substitutes}.",
    "one_of": "one of {load}",
    "two_of": "two of {load}",
    "starts_with": "{movement} ({load})",
    "to_start_with": "To start with: {loads}.",
    "tempo_hold": "hold",
    "tempo_down": "{length:seconds} down",
    "tempo_at_the_bottom": "{length:seconds} at the bottom",
    "tempo_up": "{length:seconds} up",
    "tempo_up_fast": "up fast",
    "tempo_at_the_top": "{length:seconds} at the top",
    "change_hands_halfway": "change hands halfway",
    "change_legs_halfway": "change legs halfway",
    "change_sides_halfway": "change sides halfway",
    "only_with": "{what} ({kits})",
    "takes_as_planned": "As planned it takes {shortest:clock} to {longest:clock}, by kit and rounds.",
    "side_change_added": (
        "A change of sides takes {change:seconds}, added to the interval. Both sides get the same time."
    ),
    "side_change_inside": (
        "A change of sides takes {change:seconds} of the interval. Both sides get the same time."
    ),
    "side_change_from_rest": (
        "A change of sides takes {change:seconds} of the rest after it. Both sides get the same time."
    ),
    "cut_first": "Cut first when short of time, in this order: {cuts}.",
    "only_rounds_are_cut": "When time is short only whole rounds are cut; everything else stays.",
    "cut_to_lengths": "{cut} ({lengths})",
    "rather_than_no_session": "Rather than no session: {fewer}.",
    "rounds_in_block": Plural(
        "rounds", "{rounds} round in block {block}", "{rounds} rounds in block {block}"
    ),
}

ADJUSTMENT: Sentences = {
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
}

BALANCE: Sentences = {
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

SENTENCES: Sentences = {**PLAN, **ADJUSTMENT, **BALANCE}
