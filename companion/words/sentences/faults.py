"""What is wrong with a file, a link or a plan."""

from __future__ import annotations

from companion.words.plural import Sentences

ANY_FILE: Sentences = {
    "file_too_large": "The file is larger than {most} kB.",
    "no_text": "This file cannot be read as text.",
    "cannot_be_read_at": "The file cannot be read from line {line}, character {column}.",
    "nested_too_deep": "The file holds parts within parts, more than {levels} deep.",
    "number_too_large": "A number is too large: {number}",
    "not_a_number": "Not a number: {written}",
    "another_kind_of_file": "This is another kind of file.",
    "made_with_newer": (
        "Made with a newer version of the companion: open the companion with a network once, then try again."
    ),
    "missing": "This is missing.",
    "not_known_here": "This is not known here.",
    "nothing_here": "Nothing is here yet.",
    "write_whole_number": "Write a whole number.",
    "write_text": "Write a text.",
    "write_true_or_false": "Write true or false.",
    "write_list": "Write a list, in square brackets.",
    "write_parts_in_braces": "Write its parts with their names, in braces.",
    "write_day": "Write a day such as 2026-03-02.",
    "write_moment": "Write a day and a time such as 2026-03-02T18:30:00+01:00.",
    "kind_missing": "Say what kind this is.",
    "name_not_seen": "Nothing of this name can be seen.",
    "too_small": "Write {least} or more, not {written}.",
    "not_more": "Write more than {bound}, not {written}.",
    "too_large": "Write {most} or less, not {written}.",
    "none_of_these": "“{written}” is none of these: {allowed}.",
    "too_short": "This is too short.",
    "too_long": "This is too long: {most} at most.",
    "small_letters_only": "Write small letters, digits and single hyphens only, not “{written}”.",
    "not_understood": "This cannot be read: “{written}”.",
    "not_a_week": "Write a week such as 2026-W09, not “{written}”.",
    "not_a_tempo": "Write a tempo as four numbers of seconds such as 3-0-1-0, not “{written}”.",
    "tempo_without_lowering": "“{written}”: the lowering takes at least 1 second.",
    "made_in_the_future": "It says it was made on {made:date}, which is still to come.",
}

LINK: Sentences = {
    "link_too_long": "The link is longer than {most} characters.",
    "link_carries_nothing": "This link carries neither a plan nor an adjustment.",
    "link_damaged": "This link is damaged or was cut off. Ask for it again, or for the file.",
    "too_long_for_a_link": (
        "Send this as a file: its link would have {length} characters, and {most} are the most."
    ),
    "write_address": "Write the address where the companion is served: https://, a host, and its folder.",
}

PAGE_AND_BACKUP: Sentences = {
    "page_cut_short": "This page was cut short. Ask for it again.",
    "no_page_for_the_coach": "This is not a whole page for the coach.",
    "page_contradicts_itself": "This page contradicts itself. Ask for it again.",
    "no_whole_backup": "This is not a whole backup: it is another file, or damaged or cut short.",
    "too_much_for_a_backup": "The file holds more values than a backup of its size.",
    "too_many_at_once": "Too many or too large to be read at once. Drop them again by themselves.",
    "kept_under_another_name": "Something is kept here under another name than its own.",
    "correction_without_its_session": "A correction is here without its session.",
    "cannot_be_counted": "A session holds figures that cannot be counted.",
}

PLAN: Sentences = {
    "same_id_twice": "Two parts go by the same id: {id}.",
    "no_work_block": "Add a work block.",
    "changeover_out_of_range": "Write {low:seconds} to {high:seconds}, or 0 for no changeover.",
    "name_each_once": "Name each once.",
    "name_allowances_and_rounds": "Name both “allowances” and “rounds”.",
    "no_movement_of_that_name": "No movement of that name: {written}.",
    "twice_in_this_block": "Twice in this block: {movement}.",
    "below_the_minimum_is_fewer": "Below the minimum means {minimum} or fewer.",
    "warm_up_never_below_its_minimum": "A warm-up never goes below its minimum.",
    "minimum_above_maximum": "The minimum of {minimum} is more than the maximum of {maximum}.",
    "range_runs_backwards": "The range runs backwards: {low}–{high}.",
    "odd_number_alternates": "Write an even number: an odd one cannot alternate evenly between the sides.",
    "describe_preferred_practice": "Describe the preferred practice too: {kind}.",
    "no_mobility_in_work": "A mobility movement is not for a work block: {movement}.",
    "keep_one_movement": "Keep at least one movement: all may be left out.",
    "straight_after_itself": "Put another movement between: {movement} comes straight after itself.",
    "ends_and_begins_a_round": "Put another movement between: {movement} ends a round and begins the next.",
    "short_rest": "Rest {needed:seconds} or more between work intervals, not {rest:seconds}: {movement}.",
    "short_rest_before_the_floor": (
        "Rest {needed:seconds} or more before floor work, not {rest:seconds}: {movement}."
    ),
    "two_substitutes": "Keep one of the two substitutes: {occasion}.",
    "no_substitute_for_itself": "No substitute for itself: {movement}.",
    "in_this_block_already": "In this block already: {movement}.",
    "no_weight_in_the_warm_up": "A warm-up gains no weight: {movement}.",
    "too_hard_on_a_joint_in_pain": "Too hard on a joint in pain, {joint}: {movement}.",
    "cannot_be_done_with": "Cannot be done with this kit, {kit}: {movement}.",
    "nobody_starts_with": "Write {low} to {high}, not {load}.",
    "no_such_version": "No version for this kit, {kit}: {movement}.",
    "name_another_movement": "Name another movement.",
    "name_another_version": "Name another version.",
    "say_how_to_place_the_weight": "Say how to take up and put down the weight safely.",
    "cut_named_twice": "Named twice: {cut}.",
    "no_such_block": "There is no block “{block}”.",
    "nothing_to_cut_there": "Nothing in block “{block}” can be cut like this: {cut}.",
    "no_lengths_to_list": "Only cool-down, rest and work have lengths.",
    "list_lengths_longest_first": "List the lengths in seconds, longest first, each once.",
    "below_the_floor": "Write {floor:seconds} or more, not {length:seconds}.",
    "joint_hurts": "pain: {joint}",
}

ADJUSTMENT: Sentences = {
    "ends_before_it_was_made": "The last day comes before the day it was made.",
    "adjustment_too_long": "An adjustment holds for {most} days at most.",
    "joint_has_no_side": "This joint has no side: {joint}.",
    "ends_after_the_adjustment": "This is after the last day of the adjustment.",
}

SENTENCES: Sentences = {**ANY_FILE, **LINK, **PAGE_AND_BACKUP, **PLAN, **ADJUSTMENT}
