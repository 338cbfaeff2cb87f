"""The description of the strip that screen, paper and terminal draw."""

from builders import BOTH, HAND, plan, work

from companion.cli.fit_text import MARKS
from companion.style.kinds import KIND_PATTERN, KIND_ROLE, KIND_WORD, Pattern
from companion.style.strip import Strip, strip_of, ticks
from engine.fit.as_planned import planned_session
from engine.movements.movement import Kit
from engine.session.segment import Kind

SESSION = planned_session(plan(work(BOTH.slug, HAND.slug)), Kit.single, 2)


def test_the_stretches_follow_each_other_without_gaps_from_the_start_to_the_end_of_the_session() -> None:
    assert SESSION is not None
    strip = strip_of(SESSION.segments)
    starts, ends = [one.start_ms for one in strip.stretches], [one.end_ms for one in strip.stretches]
    assert starts == [0, *ends[:-1]]
    assert strip.length_ms == ends[-1] == SESSION.total_ms


def test_a_round_is_one_part_and_the_way_into_the_block_has_no_label() -> None:
    assert SESSION is not None
    assert [part.label for part in strip_of(SESSION.segments).parts] == ["", "Round 1", "Round 2"]


def test_a_moment_belongs_to_the_stretch_that_begins_with_it_and_the_end_to_none() -> None:
    assert SESSION is not None
    strip = strip_of(SESSION.segments)
    for stretch in strip.stretches:
        assert strip.kind_at(stretch.start_ms) is strip.kind_at(stretch.end_ms - 1) is stretch.kind
    assert strip.kind_at(strip.length_ms) is None
    assert Strip().kind_at(0) is None


def test_there_is_a_tick_for_each_full_minute_and_every_fifth_is_long() -> None:
    minutes = list(ticks(10 * 60_000))
    assert [tick.at_ms for tick in minutes] == list(range(0, 600_001, 60_000))
    assert [tick.minute for tick in minutes if tick.is_long] == [0, 5, 10]


def test_every_kind_has_its_word_colour_and_pattern_and_every_pattern_its_mark() -> None:
    assert set(KIND_WORD) == set(KIND_ROLE) == set(KIND_PATTERN) == set(Kind)
    assert set(KIND_PATTERN.values()) == set(MARKS) == set(Pattern)
