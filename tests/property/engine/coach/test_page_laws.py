"""Laws of the page for the coach, over records of any session and any choice."""

from __future__ import annotations

from datetime import timedelta

from builders import STARTED_AT, profile, record, short_session
from hypothesis import given
from hypothesis import strategies as st
from pages import MADE_AT, late_answers, painful_record

from engine.base.message import Own, message
from engine.base.periods import iso_week, weeks_until
from engine.coach.page import CoachPage, PageAsked, page_from
from engine.coach.roster import in_full, roster
from engine.coach.withheld import PageChoice
from engine.live.events import Ending
from engine.live.state import Change
from engine.movements.movement import JOINT_POINTS
from engine.movements.pain import PainKind, PainNote, PainQuality
from engine.record.amendment import Amendment
from engine.record.record import LimitedBy, Record
from engine.record.week import review_week

QUIET = record(short_session(), loads_g={"one-hand-press": 8_000}, effort=6)
HURT = painful_record()
WEEKS = weeks_until("2026-W12", 4)
choices = st.builds(PageChoice, **{name: st.booleans() for name in PageChoice.model_fields})


@st.composite
def pains(draw: st.DrawFn) -> PainNote:
    joint, side = draw(st.sampled_from(JOINT_POINTS))
    return PainNote(
        session_ms=draw(st.integers(0, 300_000)),
        movement=draw(st.sampled_from(["one-hand-press", None])),
        kind=draw(st.sampled_from([*PainKind, None])),
        joint=joint,
        side=side,
        rating=draw(st.integers(0, 10) | st.none()),
        qualities=tuple(draw(st.sets(st.sampled_from(PainQuality)))),
        words=draw(st.text(min_size=1, max_size=40) | st.none()),
    )


@st.composite
def records(draw: st.DrawFn) -> Record:
    """A session in one of three weeks, with any pain, ending and answers."""
    base = draw(st.sampled_from([QUIET, HURT]))
    start = STARTED_AT + timedelta(hours=draw(st.integers(0, 24 * 18)))
    limited = draw(st.sampled_from([*LimitedBy, None]))
    return base.model_copy(
        update={
            "id": f"record-{draw(st.integers(0, 10_000))}",
            "started_at": start,
            "local_date": start.date(),
            "ending": draw(st.sampled_from(Ending)),
            "pains": tuple(draw(st.lists(pains(), max_size=3))),
            "changes": tuple(
                Change(session_ms=0, said=(message("remark", remark=Own(own=one)),))
                for one in draw(st.lists(st.text(min_size=1, max_size=40), max_size=2))
            ),
            "sets": tuple(done.model_copy(update={"limited_by": limited}) for done in base.sets),
            "effort": draw(st.integers(0, 20).map(lambda half: half / 2) | st.none()),
            "note": draw(st.text(max_size=60)),
        }
    )


@st.composite
def heaps(draw: st.DrawFn) -> tuple[tuple[Record, ...], tuple[Amendment, ...]]:
    held = tuple(draw(st.lists(records(), max_size=4, unique_by=lambda one: one.id)))
    late = [late_answers(one.id) for one in held if draw(st.booleans())]
    return held, tuple(one for answers in late for one in answers)


Heap = tuple[tuple[Record, ...], tuple[Amendment, ...]]


def made(heap: Heap, choice: PageChoice, *, minute: int = 0) -> CoachPage:
    return page_from(
        *heap,
        profile=profile(),
        asked=PageAsked(weeks=WEEKS, choice=choice),
        made_at=MADE_AT + timedelta(minutes=minute),
    )


def unhurt(heap: Heap) -> Heap:
    """The same sessions as if nothing had hurt: stops become early ends, and no joint limited anything."""
    held = tuple(
        one.model_copy(
            update={
                "pains": (),
                "changes": (),
                "ending": Ending.early if one.ending is Ending.pain else one.ending,
                "session": one.session.model_copy(
                    update={
                        "room": one.session.room.model_copy(update={"sore": ()}),
                        "reasons": tuple(r for r in one.session.reasons if r.code != "swapped"),
                    }
                ),
                "sets": tuple(
                    s.model_copy(update={"limited_by": None}) if s.limited_by is LimitedBy.joint else s
                    for s in one.sets
                ),
            }
        )
        for one in heap[0]
    )
    late = (one for one in heap[1] if one.field not in ("next_morning_pain", "soreness"))
    return held, tuple(_unlimited(one) for one in late)


def _unlimited(amendment: Amendment) -> Amendment:
    if amendment.field != "set":
        return amendment
    value = {"key": amendment.value["key"], "answer": {**amendment.value["answer"], "limited_by": None}}  # type: ignore[index, dict-item]
    return amendment.model_copy(update={"value": value})


@given(heaps(), choices)
def test_a_page_is_the_same_after_writing_and_reading_it(heap: Heap, choice: PageChoice) -> None:
    """Writing a page as JSON and reading it back is the identity."""
    page = made(heap, choice)
    assert CoachPage.model_validate_json(page.model_dump_json()) == page
    assert CoachPage.model_validate_json(page.model_dump_json(exclude_defaults=True)) == page


@given(heaps(), choices)
def test_without_pain_a_page_is_that_of_somebody_whom_nothing_hurt(heap: Heap, choice: PageChoice) -> None:
    """Nobody can tell a page without pain from the page of the same sessions in which nothing hurt."""
    kept_back = choice.model_copy(update={"pain": False})
    assert made(heap, kept_back) == made(unhurt(heap), kept_back)


@given(heaps())
def test_the_figures_of_a_whole_page_are_those_of_the_weekly_review(heap: Heap) -> None:
    """A page that keeps nothing back has exactly the figures of the review."""
    page = made((heap[0], ()), PageChoice())
    assert page.reviews == tuple(review_week(heap[0], week) for week in WEEKS)
    for review in page.reviews:
        sessions = [one for one in page.sessions if iso_week(one.local_date) == review.iso_week]
        assert sum(one.volume_g for one in sessions) == review.volume_g


def joined_with(trainee_id: str, pages: list[CoachPage]) -> set[str]:
    """The ids that pages join with one, directly or through others."""
    ids = {trainee_id}
    for _ in pages:
        ids |= {one for page in pages if not ids.isdisjoint(page.trainee.ids) for one in page.trainee.ids}
    return ids


@given(
    st.lists(
        st.tuples(heaps(), choices, st.sets(st.sampled_from("abc"), min_size=1), st.integers(-60, 60)),
        min_size=1,
        max_size=5,
    )
)
def test_a_page_more_makes_nobody_hurt_less(parts: list[tuple[Heap, PageChoice, set[str], int]]) -> None:
    """Who hurts or was stopped in some pages is so in those and one more, whoever it joins and however old it
    is."""
    pages = []
    for heap, choice, ids, minute in parts:
        first, *also = sorted(ids)
        one = made(heap, choice, minute=minute)
        trainee = one.trainee.model_copy(update={"id": first, "also": tuple(also)})
        pages.append(one.model_copy(update={"trainee": trainee}))
    for count in range(1, len(pages)):
        after = {person.trainee_id: person for person in roster(pages[: count + 1])}
        for person in roster(pages[:count]):
            now = after[min(joined_with(person.trainee_id, pages[: count + 1]))]
            assert now.hurts >= person.hurts
            assert now.stopped >= person.stopped


@given(st.lists(st.tuples(heaps(), choices), min_size=1, max_size=3), st.randoms(use_true_random=False))
def test_the_order_in_which_pages_come_back_does_not_matter(
    parts: list[tuple[Heap, PageChoice]], chance: object
) -> None:
    """A roster is the same for every order of the pages, and for repeated pages, except for their count."""
    pages = [made(heap, choice, minute=number) for number, (heap, choice) in enumerate(parts)]
    shuffled = [*pages, *pages]
    chance.shuffle(shuffled)  # type: ignore[attr-defined]
    once, twice = roster(pages), roster(shuffled)
    assert [list(in_full(one)) for one in twice] == [list(in_full(one)) for one in once]
    assert [one.duplicates for one in twice] == [len(pages)]
