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

from companion.words.faults import fault_words, place_words
from companion.words.words import english
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
FIRST, SECOND = "Block 1 › Movement 1", "Block 1 › Movement 1 › Substitute 1 › Movement"


def instead(*others: tuple[str, str]) -> dict[str, object]:
    return {"substitutes": [{"when": when, "movement": other} for when, other in others]}


FAULTS: dict[str, tuple[SessionPlan, str, str]] = {
    "no work": (plan(warm_up()), "Blocks", "Add a work block."),
    "same block twice": (plan(work(), work()), "Blocks", "Two parts go by the same id: circuit."),
    "short transition": (plan(transition_s=5), "Changeover", "Write 20 s to 60 s, or 0"),
    "order said twice": (
        plan(buys=(Buys.rounds, Buys.rounds, Buys.allowances)),
        "With more time",
        "Name each once.",
    ),
    "order lacks rounds": (plan(buys=(Buys.allowances,)), "With more time", "Name both"),
    "unknown movement": (
        plan(work("moon-walk", HAND.slug)),
        "Block 1 › Movement 1",
        "No movement of that name: moon-walk.",
    ),
    "unknown in the warm-up": (
        plan(warm_up(items=items(movement="moon-walk")), work()),
        "Block 1 › Movement 1",
        "No movement of that name: moon-walk.",
    ),
    "a movement twice in the warm-up": (
        plan(warm_up(items=items() * 2), work()),
        "Block 1",
        "Twice in this block: Easy bend.",
    ),
    "a movement straight after itself": (
        plan(work(BOTH.slug, HAND.slug, HAND.slug)),
        "Block 1 › Movement 3",
        "Put another movement between: One hand press comes straight after itself.",
    ),
    "a movement straight after itself from round to round": (
        plan(work(HAND.slug, BOTH.slug, LEG.slug, HAND.slug)),
        "Block 1 › Movement 4",
        "Put another movement between: One hand press ends a round and begins the next.",
    ),
    "one movement twice, and so from round to round as well": (
        plan(work(HAND.slug, HAND.slug)),
        "Block 1 › Movement 2",
        "Put another movement between: One hand press ends a round and begins the next.",
    ),
    "rounds backwards": (
        plan(work(rounds=RoundsRange(min=4, max=2))),
        "Block 1 › Rounds",
        "The minimum of 4 is more than the maximum of 2.",
    ),
    "amount backwards": (
        plan(warm_up(items=items(amount=Amount(low=5, high=3))), work()),
        "Block 1 › Movement 1 › Amount",
        "The range runs backwards: 5–3.",
    ),
    "odd alternating": (
        plan(warm_up(items=items(amount=Amount(low=9, count=AmountCount.alternating))), work()),
        "Block 1 › Movement 1 › Amount",
        "an odd one cannot alternate evenly",
    ),
    "no easier version of that name": (
        plan(work(HAND.slug, movements=(WorkMovement(movement=HAND.slug, easier="moon-walk"),))),
        "Block 1 › Movement 1 › Easier movement",
        "No movement of that name: moon-walk.",
    ),
    "practice not described": (
        plan(practice(usual=PracticeKind.repetitions), work()),
        "Block 1 › Preferred practice",
        "Describe the preferred practice too: by repetitions.",
    ),
    "mobility in a work block": (
        plan(work(BEND.slug, HAND.slug)),
        "Block 1 › Movement 1",
        "A mobility movement is not for a work block: Easy bend.",
    ),
    "short rest": (
        plan(work(rest_s=10)),
        "Block 1 › Movement 1",
        "Rest 15 s or more between work intervals",
    ),
    "short rest before the floor": (
        plan(work(HAND.slug, FLOOR.slug, rest_s=20)),
        "Block 1 › Movement 2",
        "Rest 30 s or more before floor work",
    ),
    "short rest between rounds": (
        plan(work(FLOOR.slug, HAND.slug, rest_s=30, round_rest_s=15)),
        "Block 1 › Movement 1",
        "Rest 30 s or more before floor work",
    ),
    "all optional": (
        plan(work(movements=(WorkMovement(movement=HAND.slug, optional=True),))),
        "Block 1 › Movements",
        "Keep at least one movement",
    ),
    "unknown substitute": (
        circuit(**instead(("none", "moon-walk"))),
        SECOND,
        "No movement of that name: moon-walk.",
    ),
    "a substitute for itself": (
        circuit(**instead(("none", HAND.slug))),
        SECOND,
        "No substitute for itself: One hand press.",
    ),
    "a substitute that the block has": (
        circuit(**instead(("none", BOTH.slug))),
        SECOND,
        "In this block already: Both hands lift.",
    ),
    "two substitutes for one occasion": (
        circuit(**instead(("knee", LEG.slug), ("knee", FLOOR.slug))),
        f"{FIRST} › Substitutes",
        "Keep one of the two substitutes: pain: knee.",
    ),
    "a substitute that is hard on its joint": (
        circuit(**instead(("knee", HARD_ON_KNEES.slug))),
        SECOND,
        "Too hard on a joint in pain, knee: Knee drop.",
    ),
    "a substitute that takes a weight": (
        circuit(**instead(("none", LOADED.slug))),
        SECOND,
        "Cannot be done with this kit, no dumbbells: Heavy drop.",
    ),
    "mobility as a substitute in the work": (
        circuit(**instead(("knee", BEND.slug))),
        SECOND,
        "A mobility movement is not for a work block: Easy bend.",
    ),
    "a substitute with a weight in the warm-up": (
        plan(
            warm_up(items=items(**instead(("knee", LOADED.slug)))),
            work(),
            movements=(*TEST_MOVEMENTS, *MORE),
        ),
        "Block 1 › Movement 1 › Substitute 1 › Movement",
        "A warm-up gains no weight: Heavy drop.",
    ),
    "grams for kilograms": (
        circuit(starting_g=12),
        f"{FIRST} › Starting load, one dumbbell",
        "Write 0.5 kg to 100 kg, not 0.01 kg.",
    ),
    "an absurd load": (
        circuit(starting_pair_g=120_000),
        f"{FIRST} › Starting load, two dumbbells",
        "Write 0.5 kg to 100 kg, not 120 kg.",
    ),
    "a pair that the movement never takes": (
        circuit(movement="one-only", starting_pair_g=8_000),
        f"{FIRST} › Starting load, two dumbbells",
        "No version for this kit, two dumbbells: One only.",
    ),
    "own movement twice": (
        plan(movements=(*TEST_MOVEMENTS, HAND)),
        "Movements",
        "Two parts go by the same id",
    ),
    "broken chain": (
        plan(movements=(*TEST_MOVEMENTS, movement("new", easier="moon-walk"))),
        "Movement 7 › Easier movement",
        "No movement of that name: moon-walk.",
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
        "Movement 7 › Version 1",
        "Say how to take up and put down the weight safely.",
    ),
    "variant twice": (
        plan(
            movements=(
                *TEST_MOVEMENTS,
                BOTH.model_copy(update={"slug": "new", "variants": BOTH.variants[:1] * 2}),
            )
        ),
        "Movement 7 › Versions",
        "Two parts go by the same id: free.",
    ),
    "allowance for no block": (
        plan(allowances=(Allowance(give_up=GiveUp.hand_change, block="attic"),)),
        "Cut 1 › Block",
        "There is no block “attic”.",
    ),
    "allowance twice": (
        plan(allowances=(Allowance(give_up=GiveUp.practice),) * 2),
        "Cut first when short of time",
        "Named twice: without practice.",
    ),
    "lengths without need": (
        plan(allowances=(Allowance(give_up=GiveUp.practice, to_s=(10,)),)),
        "Cut 1 › Lengths",
        "Only cool-down, rest and work have lengths.",
    ),
    "lengths missing": (
        plan(allowances=(Allowance(give_up=GiveUp.rest),)),
        "Cut 1 › Lengths",
        "longest first",
    ),
    "lengths unsorted": (
        plan(allowances=(Allowance(give_up=GiveUp.rest, to_s=(20, 25)),)),
        "Cut 1 › Lengths",
        "longest first",
    ),
    "rest below its floor": (
        plan(allowances=(Allowance(give_up=GiveUp.rest, to_s=(20, 10)),)),
        "Cut 1 › Lengths",
        "Write 15 s or more, not 10 s.",
    ),
    "work below its floor": (
        plan(allowances=(Allowance(give_up=GiveUp.work, to_s=(30, 15)),)),
        "Cut 1 › Lengths",
        "Write 20 s or more, not 15 s.",
    ),
    "allowance for another kind of block": (
        plan(allowances=(Allowance(give_up=GiveUp.rest, to_s=(20,), block="warm-up"),)),
        "Cut 1 › Block",
        "Nothing in block “warm-up” can be cut like this: less rest.",
    ),
    "cool-down below its floor": (
        plan(allowances=(Allowance(give_up=GiveUp.cool_down, to_s=(60,)),)),
        "Cut 1 › Lengths",
        "Write 120 s or more, not 60 s.",
    ),
}


@pytest.mark.parametrize("faulty, where, words", FAULTS.values(), ids=FAULTS.keys())
def test_a_fault_is_found_at_its_place(faulty: SessionPlan, where: str, words: str) -> None:
    assert [
        fault for fault in check(faulty) if place_words(fault.where) == where and words in english(fault.what)
    ]


def test_every_fault_is_found_and_not_only_the_first() -> None:
    faulty = plan(work("moon-walk", LEG.slug, rounds=RoundsRange(min=4, max=2)), transition_s=5)
    assert {place_words(fault.where) for fault in check(faulty)} == {
        "Changeover",
        "Block 1 › Movement 1",
        "Block 1 › Rounds",
    }


def test_a_block_of_one_interval_needs_no_rest() -> None:
    assert check(plan(work(HAND.slug, rounds=RoundsRange(min=1, max=1), rest_s=0))) == ()


def test_a_load_below_nothing_and_an_unknown_occasion_are_refused_at_their_place() -> None:
    written = circuit(starting_g=8_000, **instead(("knee", LEG.slug))).model_dump(mode="json")
    first = written["blocks"][0]["movements"][0]
    first["starting_g"], first["substitutes"][0]["when"] = -8_000, "pair"
    with pytest.raises(Unreadable) as refused:
        read(SessionPlan, json.dumps(written))
    assert list(map(fault_words, refused.value.issues)) == [
        f"{FIRST} › Starting load, one dumbbell: Write 0 or more, not -8000.",
        f"{FIRST} › Substitute 1 › Occasion: “pair” is none of these: none, single, wrist, elbow, shoulder, "
        "neck, low_back, hip, knee and ankle.",
    ]


def test_a_substitute_that_somebody_can_do_and_a_load_that_somebody_lifts_are_no_faults() -> None:
    written = instead(("none", LEG.slug), ("single", LOADED.slug), ("knee", FLOOR.slug))
    assert check(circuit(starting_g=500, starting_pair_g=100_000, **written)) == ()
