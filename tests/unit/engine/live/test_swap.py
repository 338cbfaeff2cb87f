"""Swaps on the run: after pain, for missing equipment and for an easier variant."""

from __future__ import annotations

from builders import (
    BOTH,
    FLOOR,
    HAND,
    LEG,
    TEST_MOVEMENTS,
    Journal,
    movement,
    pain,
    plan,
    session,
    warm_up,
    work,
)

from companion.words.words import ENGLISH
from engine.live.remainder import interval_of
from engine.live.swap import equipment_needed, swap_after_pain, swap_for_easier, swap_without
from engine.movements.limits import Limit
from engine.movements.movement import (
    Equipment,
    Joint,
    Kit,
    Movement,
    MovementPattern,
    Side,
    Sides,
    StartsWith,
    by_slug,
)
from engine.movements.own_choice import OwnSubstitute
from engine.movements.room import Room
from engine.plan.plan import Amount, AmountCount, AmountUnit, RoundsRange, SessionPlan, WarmUpItem
from engine.session.segment import BETWEEN, Kind

EASY_HINGE = movement("easy-hinge", pattern=MovementPattern.hinge)
HARD_HINGE = movement("hard-hinge", pattern=MovementPattern.hinge, stress={"knee": 2}, easier="easy-hinge")
ON_FLOOR = movement("floor-bridge", pattern=MovementPattern.lunge, on_floor=True)
KNEE_LUNGE = LEG.model_copy(update={"stress": {Joint.knee: 3}})


def made_of(*slugs: str, movements: tuple[Movement, ...], rounds: int = 3) -> SessionPlan:
    return plan(work(*slugs, rounds=RoundsRange(min=rounds, max=rounds)), movements=movements)


def run_of(of: SessionPlan, at_s: int) -> Journal:
    run = Journal(session(of, minutes=40)).write("started", 0)
    return run.write("paused", at_s * 1000)


def known(of: SessionPlan) -> dict[str, Movement]:
    return by_slug(of.movements)


def movements_in(segments) -> list[str]:
    found = [s.movement for s in segments if s.kind not in BETWEEN]
    return [slug for slug, before in zip(found, [None, *found], strict=False) if slug != before]


def test_what_hurt_does_not_come_again_and_another_of_its_pattern_takes_its_place() -> None:
    of = made_of("hard-hinge", HAND.slug, movements=(HARD_HINGE, EASY_HINGE, HAND))
    run = run_of(of, 20)
    refit = swap_after_pain(
        run.state, pain(movement="hard-hinge", joint="low_back", side=None, rating=3), known(of)
    )
    assert movements_in(refit.segments) == [HAND.slug, "easy-hinge", HAND.slug, "easy-hinge", HAND.slug]
    assert [added.item.chosen.instead_of for added in refit.items] == ["hard-hinge"]
    assert ENGLISH.sentences(refit.said) == "Easy hinge instead of Hard hinge. This spares: low back."


def test_for_a_joint_that_hurts_the_coachs_own_choice_comes_first_and_is_named_so() -> None:
    of = made_of("hard-hinge", HAND.slug, movements=(HARD_HINGE, EASY_HINGE, ON_FLOOR, HAND))
    own = OwnSubstitute(when="low_back", movement="floor-bridge")
    block = of.blocks[0]
    first = block.movements[0].model_copy(update={"substitutes": (own,)})
    block = block.model_copy(update={"movements": (first, *block.movements[1:])})
    of = of.model_copy(update={"blocks": (block,)})
    run = run_of(of, 20)
    back = swap_after_pain(
        run.state, pain(movement="hard-hinge", joint="low_back", side=None, rating=3), known(of)
    )
    assert ENGLISH.sentences(back.said) == (
        "Floor bridge instead of Hard hinge: your coach's own choice. This spares: low back."
    )
    knee = swap_after_pain(run.state, pain(movement="hard-hinge", joint="knee", rating=3), known(of))
    assert ENGLISH.sentences(knee.said) == "Easy hinge instead of Hard hinge. This spares: left knee."


def test_what_the_coach_leaves_out_takes_nobodys_place() -> None:
    of = made_of("hard-hinge", HAND.slug, "easy-hinge", movements=(HARD_HINGE, EASY_HINGE, HAND))
    asked = session(of, minutes=40, left_out=("easy-hinge",))
    run = Journal(asked).write("started", 0).write("paused", 20_000)
    refit = swap_after_pain(
        run.state, pain(movement="hard-hinge", joint="low_back", side=None, rating=3), known(of)
    )
    assert set(movements_in(refit.segments)) == {HAND.slug}


def test_every_other_movement_that_stresses_the_joint_gives_way_too() -> None:
    of = made_of("hard-hinge", LEG.slug, HAND.slug, movements=(HARD_HINGE, EASY_HINGE, KNEE_LUNGE, HAND))
    run = run_of(of, 20)
    refit = swap_after_pain(run.state, pain(movement="hard-hinge", rating=3), known(of))
    assert set(movements_in(refit.segments)) == {"easy-hinge", HAND.slug}
    assert ENGLISH.sentences(refit.said) == (
        "Easy hinge instead of Hard hinge. Left out: One leg stand. This spares: left knee."
    )


def test_dull_pain_below_three_leaves_what_stresses_the_joint_lightly() -> None:
    light = HAND.model_copy(update={"stress": {Joint.knee: 1}})
    of = made_of("hard-hinge", HAND.slug, movements=(HARD_HINGE, EASY_HINGE, light))
    dull = swap_after_pain(run_of(of, 20).state, pain(movement="hard-hinge", rating=2), known(of))
    sharp = swap_after_pain(
        run_of(of, 20).state, pain(movement="hard-hinge", rating=2, qualities=("sharp",)), known(of)
    )
    assert HAND.slug in movements_in(dull.segments)
    assert HAND.slug not in movements_in(sharp.segments)


def test_a_muscle_spares_no_joint_until_it_shows_a_sign() -> None:
    of = made_of("hard-hinge", LEG.slug, HAND.slug, movements=(HARD_HINGE, EASY_HINGE, KNEE_LUNGE, HAND))
    dull = pain(movement="hard-hinge", kind="muscle", rating=6)
    torn = dull.model_copy(update={"qualities": ("snap",)})
    kept = swap_after_pain(run_of(of, 20).state, dull, known(of))
    spared = swap_after_pain(run_of(of, 20).state, torn, known(of))
    assert set(movements_in(kept.segments)) == {"easy-hinge", LEG.slug, HAND.slug}
    assert ENGLISH.sentences(kept.said) == "Easy hinge instead of Hard hinge."
    assert set(movements_in(spared.segments)) == {"easy-hinge", HAND.slug}


def test_a_joint_that_hurt_earlier_stays_spared_when_another_hurts() -> None:
    of = made_of("hard-hinge", LEG.slug, HAND.slug, movements=(HARD_HINGE, EASY_HINGE, KNEE_LUNGE, HAND))
    run = run_of(of, 20).write("hurt", 20_000, pain=pain(movement=LEG.slug, joint="knee", rating=4))
    refit = swap_after_pain(run.state, pain(movement=HAND.slug, joint="wrist", rating=3), known(of))
    assert not {"hard-hinge", LEG.slug, HAND.slug} & set(movements_in(refit.segments))


def test_in_a_rest_what_comes_next_stays_unless_it_stresses_the_joint() -> None:
    of = made_of(BOTH.slug, HAND.slug, movements=TEST_MOVEMENTS)
    run = run_of(of, 75)
    assert run.state.current is not None
    assert run.state.current.kind is Kind.rest
    refit = swap_after_pain(run.state, pain(movement=BOTH.slug, joint="hip", rating=3), known(of))
    assert movements_in(refit.segments)[0] == HAND.slug
    assert BOTH.slug not in movements_in(refit.segments)


def test_a_rest_before_floor_work_is_never_too_short() -> None:
    of = made_of(LEG.slug, HAND.slug, movements=(KNEE_LUNGE, ON_FLOOR, HAND)).model_copy(deep=True)
    block = of.blocks[0].model_copy(update={"rest_s": 15})
    of = of.model_copy(update={"blocks": (block,)})
    refit = swap_after_pain(run_of(of, 20).state, pain(movement=LEG.slug, rating=3), known(of))
    before_floor = [
        s.planned_ms for s in refit.segments if s.kind is Kind.rest and s.movement == "floor-bridge"
    ]
    assert before_floor == [30_000, 30_000]


def test_sides_are_equal_whether_the_substitute_has_them_or_not() -> None:
    two_legs = movement("two-leg-stand", pattern=MovementPattern.lunge)
    of = made_of(LEG.slug, HAND.slug, movements=(KNEE_LUNGE, two_legs, HAND))
    refit = swap_after_pain(run_of(of, 20).state, pain(movement=LEG.slug, rating=3), known(of))
    stand = [
        (s.side, s.planned_ms)
        for s in refit.segments
        if s.movement == "two-leg-stand" and s.kind is Kind.work
    ]
    assert stand == [("both", 60_000)] * 2
    one_leg = movement("other-leg-stand", sides=Sides.leg, pattern=MovementPattern.hinge)
    of = made_of("hard-hinge", HAND.slug, movements=(HARD_HINGE, one_leg, HAND))
    refit = swap_after_pain(run_of(of, 20).state, pain(movement="hard-hinge", rating=3), known(of))
    sided = [
        (s.kind, s.side, s.planned_ms)
        for s in refit.segments
        if s.movement == one_leg.slug and s.round == 2 and s.kind is not Kind.rest
    ]
    assert sided == [
        (Kind.work, "left", 25_000),
        (Kind.side_change, "right", 10_000),
        (Kind.work, "right", 25_000),
    ]


def test_an_item_at_ones_own_pace_keeps_its_sides_only_where_what_replaces_it_has_them() -> None:
    plank = movement("plank", pattern=MovementPattern.trunk, starts_with="hold")
    amount = Amount(low=20, unit=AmountUnit.seconds, count=AmountCount.per_side)
    items = (WarmUpItem(movement=plank.slug, amount=amount, estimate_s=60),)
    warming = warm_up(items=items, rounds=RoundsRange(min=1, max=1))
    made = session(plan(warming, work(BOTH.slug, LEG.slug), movements=(plank, BOTH, LEG)))
    chosen = {item.chosen.movement: item.chosen for block in made.blocks for item in block.items}
    interval = [one for one in made.segments if one.kind is Kind.warm_up]
    sided = [(one.side, one.planned_ms) for one in interval]
    assert [side for side, _ in sided] == ["left", "right"]
    legs = list(interval_of(interval, chosen[LEG.slug], Side.left))
    assert [(one.side, one.planned_ms) for one in legs] == sided
    both = list(interval_of(interval, chosen[BOTH.slug], Side.left))
    assert [(one.side, one.planned_ms) for one in both] == [(None, 60_000)]


def test_where_nothing_can_take_its_place_a_movement_is_left_out() -> None:
    of = made_of(FLOOR.slug, HAND.slug, movements=(FLOOR, HAND))
    refit = swap_after_pain(
        run_of(of, 20).state, pain(movement=FLOOR.slug, joint="neck", side=None, rating=3), known(of)
    )
    assert set(movements_in(refit.segments)) == {HAND.slug}
    assert ENGLISH.sentences(refit.said) == "Left out: Floor roll. This spares: neck."


def test_after_a_swap_the_log_counts_the_new_movement() -> None:
    of = made_of("hard-hinge", HAND.slug, movements=(HARD_HINGE, EASY_HINGE, HAND))
    run = run_of(of, 20)
    refit = swap_after_pain(
        run.state, pain(movement="hard-hinge", joint="low_back", side=None, rating=3), known(of)
    )
    run.write("refitted", 21_000, segments=refit.segments, items=refit.items, said=refit.said)
    run.write("resumed", 22_000).write("skipped", 22_000).write("ended", 1_000_000, ending="early")
    assert run.state.leads_to(len(run.state.segments) - 1) is not None
    names = {done.segment_id.split(":")[3] for done in run.state.done if done.segment_id.endswith(":work")}
    assert names == {"hard-hinge", HAND.slug, "easy-hinge"}


def test_the_amount_of_a_warm_up_follows_what_stands_in_and_is_as_much_work() -> None:
    """10 in all are 5 a side, and a repetition is 3 s of a hold."""
    knee = movement("knee-swing", pattern=MovementPattern.mobility, stress={Joint.knee: 3})
    for amount, fields in (
        (Amount(low=5, count=AmountCount.per_side), {"sides": Sides.leg}),
        (Amount(low=30, unit=AmountUnit.seconds), {"starts_with": StartsWith.hold}),
    ):
        other = movement("leg-swing", pattern=MovementPattern.mobility, **fields)
        items = (WarmUpItem(movement=knee.slug, amount=Amount(low=10), estimate_s=60),)
        of = plan(warm_up(items=items), work(BOTH.slug), movements=(knee, other, BOTH))
        run = Journal(session(of, minutes=40)).write("started", 0).write("paused", 20_000)
        refit = swap_after_pain(run.state, pain(movement=knee.slug, rating=3), known(of))
        assert [(one.item.chosen.movement, one.item.amount) for one in refit.items] == [(other.slug, amount)]


def test_a_plan_that_is_gone_still_lets_what_hurt_be_left_out() -> None:
    of = made_of("hard-hinge", HAND.slug, movements=(HARD_HINGE, EASY_HINGE, HAND))
    refit = swap_after_pain(run_of(of, 20).state, pain(movement="hard-hinge", rating=3), {})
    assert set(movements_in(refit.segments)) == {HAND.slug}


def test_an_easier_variant_begins_the_interval_again_and_holds_from_then_on() -> None:
    of = made_of("hard-hinge", HAND.slug, movements=(HARD_HINGE, EASY_HINGE, HAND))
    run = run_of(of, 40)
    refit = swap_for_easier(run.state, known(of))
    assert refit is not None
    assert [(s.kind, s.movement, s.planned_ms) for s in refit.segments[:2]] == [
        (Kind.get_ready, "easy-hinge", 10_000),
        (Kind.work, "easy-hinge", 60_000),
    ]
    assert "hard-hinge" not in movements_in(refit.segments)
    run.write("refitted", 41_000, segments=refit.segments, items=refit.items, said=refit.said)
    run.write("resumed", 41_000).write("skipped", 41_000)
    assert run.state.current == refit.segments[0]


def test_an_easier_variant_spares_a_joint_that_hurt_earlier() -> None:
    kneeling = EASY_HINGE.model_copy(update={"stress": {Joint.knee: 2}})
    of = made_of("hard-hinge", HAND.slug, movements=(HARD_HINGE, kneeling, HAND))
    run = run_of(of, 40)
    assert swap_for_easier(run.state, known(of)) is not None
    run.write("hurt", 41_000, pain=pain(movement=HAND.slug, joint="knee", rating=3))
    assert swap_for_easier(run.state, known(of)) is None


def test_without_an_easier_variant_nothing_is_offered() -> None:
    of = made_of(BOTH.slug, HAND.slug, movements=TEST_MOVEMENTS)
    assert swap_for_easier(run_of(of, 20).state, known(of)) is None


def needs_a_wall(of: Movement) -> Movement:
    variants = tuple(variant.model_copy(update={"needs": (Equipment.wall,)}) for variant in of.variants)
    return of.model_copy(update={"variants": variants})


WALL_SQUAT = needs_a_wall(movement("wall-squat"))
FREE_SQUAT = movement("free-squat")


def test_where_there_is_no_wall_the_interval_that_needs_one_begins_again_in_another_movement() -> None:
    of = made_of("wall-squat", HAND.slug, movements=(WALL_SQUAT, FREE_SQUAT, HAND))
    run = run_of(of, 30)
    assert equipment_needed(run.state, known(of)) == (Equipment.wall,)
    refit = swap_without(run.state, Equipment.wall, known(of))
    assert refit.segments[0].kind is Kind.get_ready
    assert movements_in(refit.segments) == [
        "free-squat",
        HAND.slug,
        "free-squat",
        HAND.slug,
        "free-squat",
        HAND.slug,
    ]
    assert ENGLISH.sentences(refit.said) == "Not here: a wall. Free squat instead of Wall squat."


def test_where_nothing_does_without_the_wall_the_movement_is_left_out() -> None:
    of = made_of(HAND.slug, "wall-squat", movements=(WALL_SQUAT, needs_a_wall(FREE_SQUAT), HAND))
    run = run_of(of, 30)
    assert equipment_needed(run.state, known(of)) == ()
    refit = swap_without(run.state, Equipment.wall, known(of))
    assert set(movements_in(refit.segments)) == {HAND.slug}
    assert refit.segments[0].side == run.state.segments[run.state.index + 1].side, "what is on goes on"
    assert ENGLISH.sentences(refit.said) == "Not here: a wall. Left out: Wall squat."


def test_a_hold_that_enters_on_the_way_lasts_no_longer_than_it_may_on_either_side() -> None:
    """30 s with short holds (trade.md, Pain, High blood pressure; the seconds are † ours)."""
    wall = movement("wall-hold", starts_with=StartsWith.hold)
    side = movement("side-hold", starts_with=StartsWith.hold, sides=Sides.leg)
    for held in (wall, side):
        of = made_of("wall-squat", HAND.slug, movements=(WALL_SQUAT, held, HAND))
        room = Room(kit=Kit.single, limits=(Limit.short_holds,))
        run = run_of(of, 30)
        run.state = run.state.model_copy(
            update={"session": run.state.session.model_copy(update={"room": room})}
        )
        refit = swap_without(run.state, Equipment.wall, known(of))
        lengths_ms = [s.planned_ms for s in refit.segments if s.movement == held.slug and s.kind is Kind.work]
        assert lengths_ms
        assert max(lengths_ms) <= 30_000
        assert len(set(lengths_ms)) == 1


def in_the_first_rest(of: SessionPlan, *, left_s: int = 20) -> Journal:
    """Paused in the rest of 30 s after the first movement, which ends after 70 s."""
    run = run_of(of, 100 - left_s)
    assert run.state.current is not None
    assert run.state.current.kind is Kind.rest
    return run


def test_in_a_rest_the_easier_variant_is_that_of_the_movement_that_comes() -> None:
    of = made_of(BOTH.slug, "hard-hinge", movements=(BOTH, HARD_HINGE, EASY_HINGE))
    run = in_the_first_rest(of)
    refit = swap_for_easier(run.state, known(of))
    assert refit is not None
    assert ENGLISH.sentences(refit.said) == "From now on: Easy hinge instead of Hard hinge."
    assert movements_in(refit.segments)[:2] == ["easy-hinge", BOTH.slug]
    assert refit.segments[0].kind is Kind.work, (
        "the rest goes on, and nothing of the past interval starts again"
    )
    past = made_of("hard-hinge", BOTH.slug, movements=(BOTH, HARD_HINGE, EASY_HINGE))
    assert swap_for_easier(in_the_first_rest(past).state, known(past)) is None


def test_in_a_rest_what_is_missing_is_what_the_movement_that_comes_needs() -> None:
    of = made_of(BOTH.slug, "wall-squat", movements=(BOTH, WALL_SQUAT, FREE_SQUAT))
    run = in_the_first_rest(of)
    assert equipment_needed(run.state, known(of)) == (Equipment.wall,)
    refit = swap_without(run.state, Equipment.wall, known(of))
    assert movements_in(refit.segments)[:2] == ["free-squat", BOTH.slug]
    past = made_of("wall-squat", BOTH.slug, movements=(BOTH, WALL_SQUAT, FREE_SQUAT))
    assert equipment_needed(in_the_first_rest(past).state, known(past)) == ()


def test_a_movement_that_enters_as_a_rest_ends_comes_after_time_to_get_into_position() -> None:
    """10 s to get into position: our judgement, no source."""
    of = made_of(BOTH.slug, "hard-hinge", movements=(BOTH, HARD_HINGE, EASY_HINGE))
    for left_s, kinds in ((20, [Kind.work]), (10, [Kind.work]), (4, [Kind.get_ready, Kind.work])):
        refit = swap_for_easier(in_the_first_rest(of, left_s=left_s).state, known(of))
        assert refit is not None
        assert [one.kind for one in refit.segments[: len(kinds)]] == kinds
        assert {one.movement for one in refit.segments[: len(kinds)]} == {"easy-hinge"}
    of = made_of(BOTH.slug, "wall-squat", movements=(BOTH, WALL_SQUAT, FREE_SQUAT))
    refit = swap_without(in_the_first_rest(of, left_s=4).state, Equipment.wall, known(of))
    assert refit.segments[0].kind is Kind.get_ready
