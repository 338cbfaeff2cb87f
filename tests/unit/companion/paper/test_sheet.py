"""The sheet says the whole plan, as text and nothing else."""

from __future__ import annotations

import hashlib
import re
from html.parser import HTMLParser

import pytest
from builders import (
    BEND,
    BOTH,
    FLOOR,
    HAND,
    LEG,
    PLACING,
    TURN,
    cool_down,
    movement,
    plan,
    practice,
    warm_up,
    work,
)
from places import SAMPLES
from pseudo import pseudo_language

from companion.paper.sheet import TEXT_PT, sheet_html
from companion.style.safety import CAUTIONS, ROOM, URGENT
from companion.words.saying import speaking
from companion.words.words import Words
from engine.base.reading import read
from engine.fit.as_planned import planned_session
from engine.movements.movement import Sides
from engine.movements.own_choice import Occasion, OwnSubstitute
from engine.plan.plan import (
    Allowance,
    Amount,
    GiveUp,
    RoundsRange,
    SessionPlan,
    SideChange,
    SideChangeMode,
    WarmUpItem,
    WorkMovement,
)

BASE = "https://rowing.example/app/"
DRAWN = {"svg", "path", "rect", "circle", "text", "defs", "pattern"}
WRITTEN = {
    *("html", "head", "meta", "title", "style", "body", "header", "section", "article", "div", "span"),
    *("h1", "h2", "h3", "p", "ul", "li", "b", "bdi", "table", "tr", "th", "td"),
}
QUIET = {
    *("lang", "dir", "charset", "http-equiv", "content", "name", "class", "role", "aria-label", "id"),
    *("d", "x", "y", "cx", "cy", "r", "width", "height", "viewbox", "transform", "text-anchor", "font-size"),
    *("fill", "stroke", "stroke-width", "patternunits", "patterntransform"),
}
HOSTILE = (
    "<script>alert(1)</script><img src=x onerror=alert(1)>",
    '"><svg onload=alert(1)>',
    "</style></title><a href='javascript:alert(1)'>https://evil.example/</a>",
    "&lt;b&gt; &amp; ${style} $content <!-- ",
)


class Read(HTMLParser):
    """What a reader of HTML finds in a page."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.attributes: set[str] = set()
        self.texts: list[str] = []
        self.policies: list[str | None] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.attributes |= {name for name, _ in attrs}
        if ("http-equiv", "Content-Security-Policy") in attrs:
            self.policies.append(dict(attrs)["content"])

    def handle_data(self, data: str) -> None:
        self.texts.append(data)

    @property
    def text(self) -> str:
        return "\n".join(self.texts)


def rich_plan(text: str = "words") -> SessionPlan:
    """A plan with a text in every place that takes one."""
    own = movement("own-lift", sides=Sides.hand, name=text, cues=(text,), end_point=text, stop_rules=(text,))
    own = own.model_copy(
        update={
            "variants": tuple(
                variant.model_copy(update={"name": text, "placing": variant.placing and text})
                for variant in own.variants
            )
        }
    )
    return plan(
        warm_up(items=(WarmUpItem(movement=BEND.slug, amount=Amount(low=8, high=10)),)),
        practice(movements=(own.slug,)),
        work(
            movements=(
                WorkMovement(movement=own.slug, cues=(text,), end_point=text, stop_rules=(text,)),
                WorkMovement(movement=LEG.slug, optional=True, easier=BOTH.slug, work_s=45),
            )
        ),
        cool_down(),
        movements=(*plan().movements, own),
        name=text[:120],
        author=text[:120],
        note=text,
        stop_rules=(text,),
    )


def test_a_sheet_holds_nothing_but_words_and_drawings() -> None:
    found = Read(sheet_html(rich_plan(), base_address=BASE))
    assert found.tags <= WRITTEN | DRAWN
    assert found.attributes <= QUIET
    assert found.policies == ["default-src 'none'; style-src 'unsafe-inline'; img-src 'none'"]


@pytest.mark.parametrize("text", HOSTILE)
def test_every_text_is_shown_as_text(text: str) -> None:
    found = Read(sheet_html(rich_plan(text), base_address=BASE))
    assert found.tags <= WRITTEN | DRAWN
    assert found.attributes <= QUIET
    assert found.text.count(text) >= 10, "name, title, author, note, movement, cues, end, stops, placing"


def test_what_steers_the_direction_of_writing_is_taken_out() -> None:
    assert not re.search(
        "[\u202a-\u202e\u2066-\u2069\x00\x1b]", sheet_html(rich_plan("a\u202eb\x1b[2J\x00c"))
    )


WITH_A_NECK = WarmUpItem(
    movement=BEND.slug,
    amount=Amount(low=10),
    substitutes=(OwnSubstitute(when="neck", movement=TURN.slug),),
)
WITH_A_SHOULDER = WorkMovement(
    movement=HAND.slug,
    easier=BOTH.slug,
    stop_rules=("Stop when it shakes.",),
    starting_g=7_500,
    starting_pair_g=5_000,
    substitutes=(OwnSubstitute(when="shoulder", movement=FLOOR.slug),),
)


def particular_plan() -> SessionPlan:
    """A plan that differs from the usual in everything a sheet tells."""
    return plan(
        warm_up(rounds=RoundsRange(min=1, max=2), items=(WITH_A_NECK,)),
        practice(repetitions=Amount(low=3, high=5)),
        work(
            movements=(
                WorkMovement(movement=BOTH.slug, tempo="3-1-X-0", end_point="To the knee.", cues=("Tall.",)),
                WITH_A_SHOULDER,
                WorkMovement(movement=LEG.slug, optional=True, work_s=45),
            ),
            rounds=RoundsRange(fewest=1, min=2, max=4),
            round_rest_s=60,
        ),
        cool_down(),
        side_change=SideChange(mode=SideChangeMode.from_rest, change_s=12),
        allowances=(
            Allowance(give_up=GiveUp.cool_down, to_s=(240, 120)),
            Allowance(give_up=GiveUp.hand_change, block="circuit"),
            Allowance(give_up=GiveUp.extra_rounds),
        ),
        stop_rules=("Stop when the floor is wet.",),
        author="Odile",
        note="Slowly.",
    )


def test_a_sheet_says_doses_tempo_cues_end_point_placing_stops_and_what_goes_first() -> None:
    text = Read(sheet_html(particular_plan())).text
    for sentence in (
        *("Test plan", "Odile", "Slowly.", "Stop when the floor is wet.", *CAUTIONS, ROOM, URGENT),
        "1. Warm-up, 1 to 2 rounds",
        "Easy bend, 10; instead: Easy turn (pain: neck)",
        "2. Practice, 30 s each with 15 s between, or 3–5 of each",
        "3. Work, 2 to 4 rounds of 60 s work and 30 s rest, 60 s between rounds",
        "3 s down, 1 s at the bottom and up fast",
        *("To the knee.", "Tall.", PLACING, "Stop when it shakes."),
        "3 s down and 1 s up; change hands halfway (one dumbbell); start with one of 7.5 kg, or two of 5 kg; "
        "easier: Both hands lift; instead: Floor roll (pain: shoulder)",
        "work interval 45 s; 3 s down and 1 s up; change legs halfway; may be left out",
        "4. Cool-down, 5:00 in equal parts",
        "A change of sides takes 12 s of the rest after it. Both sides get the same time.",
        "Cut first when short of time, in this order: a shorter cool-down (4:00 and 2:00), hands changed "
        "inside the interval in block 3 and rounds above the minimum.",
        "Rather than no session: 1 round in block 3.",
    ):
        assert sentence in text


def test_what_holds_for_every_place_of_a_movement_stands_at_each() -> None:
    once = WorkMovement(
        movement=HAND.slug,
        starting_g=8_000,
        substitutes=(OwnSubstitute(when=Occasion.shoulder, movement=FLOOR.slug),),
    )
    again = WorkMovement(movement=HAND.slug, end_point="To the chin.")
    between, after = (WorkMovement(movement=one.slug) for one in (BOTH, LEG))
    made = plan(work(HAND.slug, BOTH.slug, LEG.slug))
    block = made.blocks[0].model_copy(update={"movements": (once, between, again, after)})
    text = Read(sheet_html(made.model_copy(update={"blocks": (block,)}))).text
    assert text.count("start with one of 8 kg") == text.count("instead: Floor roll (pain: shoulder)") == 2


def test_the_table_holds_the_minutes_of_each_kit_and_number_of_rounds() -> None:
    """4 movements at 60/30, the last rest dropped: 4 / 5 / 6 rounds = 23:30 / 29:30 / 35:30, with a change of
    10 s for every movement 26:10 / 32:50 / 39:30. Common practice, no source."""
    four = ("one", "two", "three", "four")
    hands = tuple(movement(f"hand-{n}", sides=Sides.hand) for n in four)
    made = plan(work(*(one.slug for one in hands), rounds=RoundsRange(min=4, max=6)), movements=hands)
    rows = re.findall(r"<tr><th>(.*?)</th>(.*?)</tr>", sheet_html(made))
    lead_in = "0:10"
    table = {kit: re.findall(r"<td>(.*?)</td>", cells) for kit, cells in rows}
    assert table == {
        "": ["4 rounds", "5 rounds", "6 rounds"],
        "no dumbbells": ["23:40", "29:40", "35:40"],
        "one dumbbell": ["26:20", "33:00", "39:40"],
        "two dumbbells": ["23:40", "29:40", "35:40"],
    }, f"each with {lead_in} of lead-in"


def test_the_ruler_is_to_scale_with_a_tick_for_every_minute() -> None:
    made = plan(work(BOTH.slug, HAND.slug))
    html = sheet_html(made)
    session = planned_session(made, session_kit(html), 2)
    assert session is not None
    scale = 186 / session.total_ms
    solid = [float(width) for width in re.findall(r'width="([\d.]+)" height="7" fill="#000"', html)]
    assert solid[0] == pytest.approx(60_000 * scale, abs=0.01)
    ticks = re.findall(r'd="M([\d.]+) 13V', html)
    assert [float(x) for x in ticks] == pytest.approx(
        [minute * 60_000 * scale for minute in range(session.total_ms // 60_000 + 1)], abs=0.01
    )


def session_kit(html: str) -> str:
    return {"one dumbbell": "single", "no dumbbells": "none"}[
        re.findall(r"Minimum of rounds, (.*?):", html)[0]
    ]


def test_a_plan_for_bodyweight_shows_the_times_without_a_weight() -> None:
    free = movement("free-squat")
    free = free.model_copy(update={"variants": free.variants[:1]})
    assert session_kit(sheet_html(plan(work(free.slug), movements=(free,)))) == "none"
    assert session_kit(sheet_html(plan(work(BOTH.slug)))) == "single"


def test_there_is_a_box_for_each_round_and_at_most_eight() -> None:
    for most, boxes in ((4, 4), (30, 8)):
        html = sheet_html(plan(work(BOTH.slug, HAND.slug, rounds=RoundsRange(min=2, max=most))))
        rows = re.findall(r'<div class="loads">(.*?)</div>', html)
        assert [row.count("<span>") for row in rows] == [boxes, boxes]


def test_without_an_address_there_is_no_code() -> None:
    assert 'class="qr"' in sheet_html(plan(), base_address=BASE)
    assert 'class="qr"' not in sheet_html(plan())


@pytest.mark.parametrize("movements,has_code", [(1, True), (6, False), (59, False)])
def test_a_code_too_fine_for_paper_or_a_link_too_long_is_left_off(movements: int, has_code: bool) -> None:
    ends = [hashlib.sha512(bytes([n])).hexdigest() * 3 for n in range(movements)]
    many = tuple(movement(f"m-{n}", end_point=end, cues=(end[5:],)) for n, end in enumerate(ends))
    sheet = sheet_html(plan(work(many[0].slug), movements=many), base_address=BASE)
    assert ('class="qr"' in sheet) == has_code


def test_the_longer_the_plan_the_smaller_the_type() -> None:
    sizes = {
        path.stem: float(re.findall(r"font: ([\d.]+)pt", sheet_html(read(SessionPlan, path.read_bytes())))[0])
        for path in SAMPLES.glob("*.json")
    }
    assert sizes["5-net-loft-loop"] > sizes["4-regatta-week"]
    assert set(sizes.values()) <= {pt for _, pt in TEXT_PT}


def test_every_word_of_a_sheet_goes_through_the_language_that_is_spoken() -> None:
    """But the names of the plan and of its coach."""
    sample = read(SessionPlan, next(SAMPLES.glob("*allotment-evening.json")).read_bytes())
    with speaking(Words(language=pseudo_language(is_rtl=True))):
        html = sheet_html(sample, base_address=BASE)
    assert '<html lang="xx" dir="rtl">' in html
    written = re.sub(
        r"<bdi>.*?</bdi>|<title>.*?</title>|<style>.*?</style>|<[^>]*>", "", html, flags=re.DOTALL
    )
    before = ""
    while before != written:
        before, written = written, re.sub(r"⟦[^⟦⟧]*⟧", "", written)
    assert re.findall(r"[A-Za-z]{2,}", written) == []
