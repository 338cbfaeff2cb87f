"""What to lift next and why: what happened, then what is proposed, each a sentence of its own."""

from __future__ import annotations

from companion.words.plural import Plural, Sentences

LAST_TIME: Sentences = {
    "something_hurt_last_time": "Something hurt last time.",
    "form_slipped_last_time": "Form slipped last time.",
    "range_shortened_last_time": "The range was shortened last time.",
    "easier_version_last_time": "An easier version was done last time.",
    "weight_not_said_last_time": "The weight was not said last time.",
    "rounds_not_all_done_last_time": "Not every round and side was done last time.",
    "tempo_predicts_no_repetitions": "At this tempo, repetitions cannot be predicted.",
    "repetitions_missing_last_time": "Last time, repetitions were missing in the last round.",
    "repetitions_left_not_said_last_time": "The repetitions left in the last round were not said.",
    "too_few_left_last_time": Plural(
        "left",
        "Last time, fewer than {left} repetition was left.",
        "Last time, fewer than {left} repetitions were left.",
    ),
    "session_before_went_badly_too": "The session before went badly too.",
    "too_hard_last_time": "It was too hard last time: too few repetitions, or 0–1 left.",
    "too_hard_in_a_row": Plural(
        "sessions",
        "{sessions} session was too hard: too few repetitions, or 0–1 left.",
        "{sessions} sessions in a row were too hard: too few repetitions, or 0–1 left.",
    ),
    "one_clear_session": "One clear session.",
    "one_clear_session_so_far": "One clear session so far; two make a step.",
    "two_clear_sessions": "Two clear sessions.",
    "two_clear_sessions_with_enough_left": Plural(
        "left",
        "Two clear sessions, with {left} or more repetition left.",
        "Two clear sessions, with {left} or more repetitions left.",
    ),
    "first_rounds_went_well": "It went well in the first rounds.",
    "many_left_with": Plural(
        "left",
        "{left} or more repetition was left with this weight: {load}.",
        "{left} or more repetitions were left with this weight: {load}.",
    ),
    "lifted_otherwise": "Lifted with another interval or tempo: {load}.",
    "sessions_without_a_weight": Plural(
        "sessions",
        "{sessions} session without a weight so far.",
        "{sessions} sessions without a weight so far.",
    ),
}
TODAY: Sentences = {
    "days_away": Plural("days", "{days} day away.", "{days} days away."),
    "same_after_days_away": Plural(
        "days",
        "{days} day away: practise first, then the same again.",
        "{days} days away: practise first, then the same again.",
    ),
    "back_after_illness": "Back after an illness.",
    "return_after_pain": "Return {number} of {of} after pain.",
    "nothing_grows_on_a_day_that_hurts": "Nothing grows on a day that hurts.",
    "next_weight_below": "Not on hand today: {wanted}. The next weight below: {load}.",
    "nothing_lighter_on_hand": "Nothing lighter is on hand than {load}.",
    "no_heavier_weight_on_hand": "No heavier weight is on hand.",
    "next_weight_is_percent_up": "The next weight is {percent} % up: {load}.",
    "next_weight_is_too_far_up": "The next weight is too far up: {load}.",
    "more_is_never_proposed": "More than {percent} % is never proposed.",
    "no_step_left": "No step is left here.",
    "coach_allows_next_weight": "Your coach allows the next weight.",
}
PROPOSED: Sentences = {
    "the_same_again": "Do the same again.",
    "say_how_many_were_left": "Say how many repetitions were left, and a step can be proposed.",
    "coach_decides_on_a_step": "Your coach decides on a step.",
    "form_and_range_come_first": "Form and range come before anything heavier or harder.",
    "one_step_back": "Go one step back.",
    "leave_out_the_pause": "Leave out the pause.",
    "only_minimum_rounds": "Do only the minimum rounds.",
    "only_while_nothing_hurts": "Go on only while nothing hurts.",
    "keep_effort_low": "Keep the effort at {effort} of 10 or below.",
    "round_more_is_the_step": "Today has a round more, and that is the step.",
    "more_rounds_with_it_later": "The weight comes in more rounds later.",
    "weight_today": "Today: {load}.",
    "in_all_rounds": "In all rounds: {load}.",
    "in_round_1_only": "In round 1 only: {load}.",
    "in_rounds_1_and_2": "In rounds 1 and 2: {load}.",
    "in_the_one_round": "In the one round there is: {load}.",
    "heavier_weight_in_more_rounds": "The heavier weight comes in more rounds.",
    "one_weight_down": "One weight down: {load}.",
    "up_to_weight_of_before": "One weight up, as lifted before: {load}.",
    "up_towards_weight_of_before": "One weight up: {load}. Before, you lifted: {before}.",
    "about_half_the_weight": "About half the weight: {load}.",
    "percent_less_weight": "{percent} % less: {load}.",
    "half_the_weight_or_less": "Half the weight or less: {load}.",
    "three_quarters_of_the_weight": "Three quarters of the weight: {load}.",
    "weight_still_being_found": "Your weight is still being found. Next: {load}.",
    "find_the_weight": Plural(
        "left",
        "Find your weight, with {left} or more repetition left.",
        "Find your weight, with {left} or more repetitions left.",
    ),
    "no_more_than_that_today": "No more than that today.",
    "pause_longer_at_the_bottom": "Pause 1 s longer at the bottom of each repetition.",
    "pause_longer_at_the_top": "Pause 1 s longer at the top of each repetition.",
    "try_in_practice": Plural(
        "repetitions",
        "Practise {repetitions} repetition with {load} first.",
        "Practise {repetitions} repetitions with {load} first.",
    ),
    "goal_with_it": Plural(
        "repetitions", "Goal with it: {repetitions} repetition.", "Goal with it: {repetitions} repetitions."
    ),
    "one_round_only_ask_the_coach": "There is one round only: ask your coach.",
    "it_takes_two_sessions_with_many_left": Plural(
        "left",
        "It takes two sessions with {left} or more repetition left.",
        "It takes two sessions with {left} or more repetitions left.",
    ),
    "harder_version_is": "The harder version: {version}.",
    "ask_for_harder_version": "Ask your coach for a harder version.",
}
FIRST_TIME: Sentences = {
    "first_the_movement_then_the_weight": "First the movement, then the weight.",
    "no_weight_is_known": "No weight is known: say which ones there are.",
    "no_pair_is_known": "No two dumbbells of one weight are known.",
    "first_time": "First time.",
    "take_light_weight": "Choose a light one.",
    "take_light_pair": "Choose one dumbbell, or a light pair.",
    "then_start_with": "Then start with {load}.",
    "coach_starts_you": "Your coach starts you with {load}.",
    "practise_with": "Practise with {load}.",
    "practise_without_a_weight": "Practise without a weight.",
    "or_heavier_with_many_left": Plural(
        "left",
        "If you know that a heavier one leaves {left} or more repetition, take that.",
        "If you know that a heavier one leaves {left} or more repetitions, take that.",
    ),
    "with_fewer_left_go_down": Plural(
        "left",
        "With fewer than {left} repetition left, go down or without.",
        "With fewer than {left} repetitions left, go down or without.",
    ),
    "load_of_movement": "{movement} {load}",
    "coach_starts_you_with": "Your coach starts you with: {loads}.",
}
FOR_THE_COACH: Sentences = {
    "too_hard_in_a_row_question": Plural(
        "times",
        "Too hard {times} time: {movement}. What does the coach say?",
        "Too hard {times} times in a row: {movement}. What does the coach say?",
    ),
    "outgrown_question": "No step is left for: {movement}, {load}. What does the coach say?",
    "outgrown_harder_question": "No step is left for: {movement}, {load}. May this take its place: {harder}?",
    "side_weaker_question": Plural(
        "sessions",
        "Weaker in {sessions} session: {movement}, {side}. What does the coach make of it?",
        "Weaker in {sessions} sessions in a row: {movement}, {side}. What does the coach make of it?",
    ),
}
SOURCES: Sentences = {
    "source_our_judgement": "† Our judgement, no source.",
    "source_acsm_2009": "ACSM position stand, Ratamess 2009, MSSE 41:687–708",
    "source_nsca_4th_edition": "NSCA Essentials, 4th edition (from memory)",
    "source_limit_of_a_rise": "Limit of a rise: {source}.",
    "source_percentages": "Repetitions and percentages: {source}.",
    "source_coach_starting_weight": "The coach's starting weight.",
    "source_coach_leave": "The coach's leave; the published limits of a rise are set aside.",
}
SENTENCES: Sentences = {**LAST_TIME, **TODAY, **PROPOSED, **FIRST_TIME, **FOR_THE_COACH, **SOURCES}
