"""Every fault of a plan, with its place, in plain words."""

from __future__ import annotations

import json

import pytest
from builders import (
    BEND,
    BOTH,
    FLOOR,
    HAND,
    LEG,
    TEST_MOVEMENTS,
    cool_down,
    movement,
    plan,
    practice,
    warm_up,
    work,
)

from engine.base.issue import Unreadable
from engine.base.reading import read
from engine.plan.check import check
from engine.plan.plan import (
    Allowance,
    Amount,
    AmountCount,
    Buys,
    GiveUp,
    PracticeKind,
    RoundsRange,
    SessionPlan,
    WarmUpItem,
    WorkMovement,
)


def test_a_sound_plan_has_no_faults() -> None:
    assert check(plan(warm_up(), practice(), work(), cool_down())) == ()


def items(**fields: object) -> tuple[WarmUpItem, ...]:
    return (WarmUpItem.model_validate({"movement": BEND.slug, "amount": Amount(low=4), **fields}),)


def circuit(**fields: object) -> SessionPlan:
    """A circuit of two whose first movement is written with these fields."""
    first = WorkMovement.model_validate({"movement": HAND.slug, **fields})
    return plan(work(movements=(first, WorkMovement(movement=BOTH.slug))), movements=(*TEST_MOVEMENTS, *MORE))


HARD_ON_KNEES = movement("knee-drop", stress={"knee": 2})
LOADED = movement("heavy-drop", variants=BOTH.variants[1:])
MORE = (HARD_ON_KNEES, LOADED, movement("one-only", variants=BOTH.variants[1:2]))
FIRST, SECOND = "blocks 1 › movements 1", "blocks 1 › movements 1 › substitutes 1 › movement"


def instead(*others: tuple[str, str]) -> dict[str, object]:
    return {"substitutes": [{"when": when, "movement": other} for when, other in others]}


FAULTS: dict[str, tuple[SessionPlan, str, str]] = {
    "no work": (plan(warm_up()), "blocks", "there is no work block."),
    "same block twice": (plan(work(), work()), "blocks", "two blocks have the id “circuit”."),
    "short transition": (plan(transition_s=5), "transition_s", "a change of block takes 20 to 60 s"),
    "order said twice": (
        plan(buys=(Buys.rounds, Buys.rounds, Buys.allowances)),
        "buys",
        "each kind stands once.",
    ),
    "order lacks rounds": (plan(buys=(Buys.allowances,)), "buys", "both have to be in the order"),
    "unknown movement": (
        plan(work("moon-walk", HAND.slug)),
        "blocks 1 › movements 1",
        "the movement “moon-walk” is not in the library or the plan.",
    ),
    "unknown in the warm-up": (
        plan(warm_up(items=items(movement="moon-walk")), work()),
        "blocks 1 › items 1",
        "is not in the library",
    ),
    "a movement twice in the warm-up": (
        plan(warm_up(items=items() * 2), work()),
        "blocks 1",
        "the movement “easy-bend” stands twice in this block.",
    ),
    "a movement straight after itself": (
        plan(work(BOTH.slug, HAND.slug, HAND.slug)),
        "blocks 1 › movements 3",
        "“One hand press” comes straight after itself; put another movement between.",
    ),
    "a movement straight after itself from round to round": (
        plan(work(HAND.slug, BOTH.slug, LEG.slug, HAND.slug)),
        "blocks 1 › movements 4",
        "“One hand press” ends a round and begins the next; put another movement between.",
    ),
    "one movement twice, and so from round to round as well": (
        plan(work(HAND.slug, HAND.slug)),
        "blocks 1 › movements 2",
        "“One hand press” ends a round and begins the next; put another movement between.",
    ),
    "rounds backwards": (
        plan(work(rounds=RoundsRange(min=4, max=2))),
        "blocks 1 › rounds",
        "at least 4 is more than at most 2.",
    ),
    "amount backwards": (
        plan(warm_up(items=items(amount=Amount(low=5, high=3))), work()),
        "blocks 1 › items 1 › amount",
        "the range 5–3 runs backwards.",
    ),
    "odd alternating": (
        plan(warm_up(items=items(amount=Amount(low=9, count=AmountCount.alternating))), work()),
        "blocks 1 › items 1 › amount",
        "an odd number cannot alternate evenly",
    ),
    "no easier version of that name": (
        plan(work(HAND.slug, movements=(WorkMovement(movement=HAND.slug, easier="moon-walk"),))),
        "blocks 1 › movements 1 › easier",
        "“moon-walk” is not in the library",
    ),
    "practice not described": (
        plan(practice(usual=PracticeKind.repetitions), work()),
        "blocks 1 › usual",
        "the practice by repetitions is preferred but not described.",
    ),
    "mobility in a work block": (
        plan(work(BEND.slug, HAND.slug)),
        "blocks 1 › movements 1",
        "is a mobility movement",
    ),
    "short rest": (plan(work(rest_s=10)), "blocks 1 › movements 1", "a rest of 10 s"),
    "short rest before the floor": (
        plan(work(HAND.slug, FLOOR.slug, rest_s=20)),
        "blocks 1 › movements 2",
        "30 s before floor work",
    ),
    "short rest between rounds": (
        plan(work(FLOOR.slug, HAND.slug, rest_s=30, round_rest_s=15)),
        "blocks 1 › movements 1",
        "30 s before floor work",
    ),
    "all optional": (
        plan(work(movements=(WorkMovement(movement=HAND.slug, optional=True),))),
        "blocks 1 › movements",
        "at least one movement has to stay",
    ),
    "unknown substitute": (
        circuit(**instead(("none", "moon-walk"))),
        SECOND,
        "the movement “moon-walk” is not in the library or the plan.",
    ),
    "a substitute for itself": (
        circuit(**instead(("none", HAND.slug))),
        SECOND,
        "“One hand press” is no substitute for itself.",
    ),
    "a substitute that the block has": (
        circuit(**instead(("none", BOTH.slug))),
        SECOND,
        "“Both hands lift” is in this block already.",
    ),
    "two substitutes for one occasion": (
        circuit(**instead(("knee", LEG.slug), ("knee", FLOOR.slug))),
        f"{FIRST} › substitutes",
        "there are two substitutes for a sore knee; keep one.",
    ),
    "a substitute that is hard on its joint": (
        circuit(**instead(("knee", HARD_ON_KNEES.slug))),
        SECOND,
        "“Knee drop” works the knee too hard for a day on which it hurts.",
    ),
    "a substitute that takes a weight": (
        circuit(**instead(("none", LOADED.slug))),
        SECOND,
        "“Heavy drop” cannot be done with no dumbbells.",
    ),
    "mobility as a substitute in the work": (
        circuit(**instead(("knee", BEND.slug))),
        SECOND,
        "“Easy bend” is a mobility movement; it is not for a work block.",
    ),
    "a substitute with a weight in the warm-up": (
        plan(
            warm_up(items=items(**instead(("knee", LOADED.slug)))),
            work(),
            movements=(*TEST_MOVEMENTS, *MORE),
        ),
        "blocks 1 › items 1 › substitutes 1 › movement",
        "“Heavy drop” takes a weight; a warm-up gains none.",
    ),
    "grams for kilograms": (
        circuit(starting_g=12),
        f"{FIRST} › starting_g",
        "nobody starts with 0.01 kg; 0.5 kg to 100 kg.",
    ),
    "an absurd load": (
        circuit(starting_pair_g=120_000),
        f"{FIRST} › starting_pair_g",
        "nobody starts with 120 kg; 0.5 kg to 100 kg.",
    ),
    "a pair that the movement never takes": (
        circuit(movement="one-only", starting_pair_g=8_000),
        f"{FIRST} › starting_pair_g",
        "“One only” has no version with two dumbbells.",
    ),
    "own movement twice": (plan(movements=(*TEST_MOVEMENTS, HAND)), "movements", "stands twice."),
    "broken chain": (
        plan(movements=(*TEST_MOVEMENTS, movement("new", easier="moon-walk"))),
        "movements 7 › easier",
        "“moon-walk” is not another movement",
    ),
    "no safe placing": (
        plan(
            movements=(
                *TEST_MOVEMENTS,
                BOTH.model_copy(
                    update={
                        "slug": "new",
                        "variants": (BOTH.variants[1].model_copy(update={"placing": None}),),
                    }
                ),
            )
        ),
        "movements 7 › variants 1",
        "a version with a weight says how to place it safely.",
    ),
    "variant twice": (
        plan(
            movements=(
                *TEST_MOVEMENTS,
                BOTH.model_copy(update={"slug": "new", "variants": BOTH.variants[:1] * 2}),
            )
        ),
        "movements 7 › variants",
        "two versions have the id “free”.",
    ),
    "allowance for no block": (
        plan(allowances=(Allowance(give_up=GiveUp.hand_change, block="attic"),)),
        "allowances 1 › block",
        "there is no block “attic”.",
    ),
    "allowance twice": (
        plan(allowances=(Allowance(give_up=GiveUp.practice),) * 2),
        "allowances",
        "“practice” stands twice.",
    ),
    "lengths without need": (
        plan(allowances=(Allowance(give_up=GiveUp.practice, to_s=(10,)),)),
        "allowances 1 › to_s",
        "only cool-down, rest and work have lengths.",
    ),
    "lengths missing": (
        plan(allowances=(Allowance(give_up=GiveUp.rest),)),
        "allowances 1 › to_s",
        "longest first",
    ),
    "lengths unsorted": (
        plan(allowances=(Allowance(give_up=GiveUp.rest, to_s=(20, 25)),)),
        "allowances 1 › to_s",
        "longest first",
    ),
    "rest below its floor": (
        plan(allowances=(Allowance(give_up=GiveUp.rest, to_s=(20, 10)),)),
        "allowances 1 › to_s",
        "10 s is below the floor of 15 s.",
    ),
    "work below its floor": (
        plan(allowances=(Allowance(give_up=GiveUp.work, to_s=(30, 15)),)),
        "allowances 1 › to_s",
        "15 s is below the floor of 20 s.",
    ),
    "allowance for another kind of block": (
        plan(allowances=(Allowance(give_up=GiveUp.rest, to_s=(20,), block="warm-up"),)),
        "allowances 1 › block",
        "the block “warm-up” has no rest to give up.",
    ),
    "cool-down below its floor": (
        plan(allowances=(Allowance(give_up=GiveUp.cool_down, to_s=(60,)),)),
        "allowances 1 › to_s",
        "60 s is below the floor of 120 s.",
    ),
}


@pytest.mark.parametrize("faulty, where, words", FAULTS.values(), ids=FAULTS.keys())
def test_a_fault_is_found_at_its_place(faulty: SessionPlan, where: str, words: str) -> None:
    assert [fault for fault in check(faulty) if fault.where == where and words in fault.message]


def test_every_fault_is_found_and_not_only_the_first() -> None:
    faulty = plan(work("moon-walk", LEG.slug, rounds=RoundsRange(min=4, max=2)), transition_s=5)
    assert {fault.where for fault in check(faulty)} == {
        "transition_s",
        "blocks 1 › movements 1",
        "blocks 1 › rounds",
    }


def test_a_block_of_one_interval_needs_no_rest() -> None:
    assert check(plan(work(HAND.slug, rounds=RoundsRange(min=1, max=1), rest_s=0))) == ()


def test_a_load_below_nothing_and_an_unknown_occasion_are_refused_at_their_place() -> None:
    written = circuit(starting_g=8_000, **instead(("knee", LEG.slug))).model_dump(mode="json")
    first = written["blocks"][0]["movements"][0]
    first["starting_g"], first["substitutes"][0]["when"] = -8_000, "pair"
    with pytest.raises(Unreadable) as refused:
        read(SessionPlan, json.dumps(written))
    assert [str(issue) for issue in refused.value.issues] == [
        f"{FIRST} › starting_g: -8000 is too small; at least 0.",
        f"{FIRST} › substitutes 1 › when: “pair” is not one of none, single, wrist, elbow, shoulder, neck, "
        "low_back, hip, knee or ankle.",
    ]


def test_a_substitute_that_somebody_can_do_and_a_load_that_somebody_lifts_are_no_faults() -> None:
    written = instead(("none", LEG.slug), ("single", LOADED.slug), ("knee", FLOOR.slug))
    assert check(circuit(starting_g=500, starting_pair_g=100_000, **written)) == ()
