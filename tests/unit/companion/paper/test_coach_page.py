"""The page for the coach as a file: it needs nothing else, runs and fetches nothing, and says every
sentence."""

from __future__ import annotations

import re
from datetime import timedelta
from html.parser import HTMLParser

import pytest
from builders import STARTED_AT, easy_session, noted_pain, record
from page_sentences import sentences
from pages import SIDE_LEFT, SIDE_RIGHT, late_answers, page, painful_record, without
from reasons_said import swapped_for_a_knee

from companion.paper.coach_page import page_html
from companion.style.safety import CAUTIONS, URGENT
from companion.words.words import english
from engine.coach import figures, pain_lines
from engine.coach.page import CoachPage
from engine.movements.after_pain import after_pain
from engine.record.history import history_of
from engine.record.record import Record, SetAnswer
from storage.exchange.coach_page import read_page

NO_PAIN, PAIN_KEPT_BACK = english(pain_lines.NO_PAIN), english(figures.LEFT_OUT["pain"])
OUT = after_pain(history_of([painful_record()]).flagged, ())
WEEKS = ("2026-W09", "2026-W10", "2026-W11")
HOSTILE = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</style><style>*{display:none}</style>",
    "</script><script>alert(1)</script>",
    "javascript:alert(1)",
    "$title ${data} {0} %s",
    "<!-- ",
    "&lt;b&gt; &#60;b&#62;",
)
ALLOWED = {
    *("html", "head", "meta", "title", "style", "body", "main", "header", "section", "h1", "h2"),
    *("p", "ul", "li", "div", "b", "bdi", "svg", "rect", "path", "script"),
}
EMPTY = {"meta", "rect", "path"}


class Seen(HTMLParser):
    """What a browser makes of a file. Raises AssertionError where elements do not nest."""

    def __init__(self, html: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self.sections: list[str] = []
        self.feed(html)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in EMPTY:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if not {"script", "style", "head"} & set(self.open):
            self.words.append(data)
        if self.open and self.open[-1] == "h2":
            self.sections.append(data)

    @property
    def text(self) -> str:
        return " ".join("".join(self.words).split())


def a_page(**asked: object) -> CoachPage:
    loads = {"one-hand-press": 8_000}
    later = [
        record(record_id=f"{n}", started_at=STARTED_AT + timedelta(days=n), loads_g=loads) for n in (2, 8)
    ]
    questions = ("Is the press too heavy?",)
    return page(
        [painful_record(), *later], late_answers(), **({"weeks": WEEKS, "questions": questions} | asked)
    )


def test_every_sentence_stands_on_the_page() -> None:
    made = a_page()
    text = Seen(page_html(made)).text
    said = sentences(made)
    assert len(said) > 20
    assert [sentence for sentence in said if " ".join(sentence.split()) not in text] == []


def test_pain_stands_first_and_the_cautions_last() -> None:
    sections = Seen(page_html(a_page())).sections
    assert sections[0] == "Pain"
    assert sections[-1] == "Cautions"
    assert sections[1:3] == ["Questions for the coach", "Done against planned"]


def test_the_page_is_read_back_from_the_whole_file() -> None:
    made = a_page()
    assert read_page(page_html(made)) == made


def test_the_page_asks_for_nothing_and_runs_nothing() -> None:
    html = page_html(a_page())
    seen = Seen(html)
    assert {tag for tag, _ in seen.elements} <= ALLOWED
    names = {name for _, attributes in seen.elements for name in attributes}
    assert not [name for name in names if name.startswith("on") or name in ("src", "href", "style", "action")]
    assert not re.search(r"https?:|//[a-z]|url\(|@import|<link|<img|<a\b", html)
    scripts = [attributes for tag, attributes in seen.elements if tag == "script"]
    assert scripts == [{"type": "application/json", "id": "coach-page"}]


def test_the_policy_forbids_every_request_and_every_script() -> None:
    policies = [
        attributes["content"]
        for tag, attributes in Seen(page_html(a_page())).elements
        if tag == "meta" and attributes.get("http-equiv") == "Content-Security-Policy"
    ]
    assert policies == ["default-src 'none'; style-src 'unsafe-inline'; img-src data:"]


@pytest.mark.parametrize("text", HOSTILE)
def test_what_a_person_wrote_is_shown_as_text(text: str) -> None:
    plain = Seen(page_html(a_page(name="N", questions=("Q",))))
    one = painful_record().model_copy(update={"note": text})
    note = one.pains[0].model_copy(update={"words": text})
    one = one.model_copy(update={"pains": (note,)})
    reason = swapped_for_a_knee(text, text)
    change = one.changes[0].model_copy(update={"said": (reason.message,)})
    session = one.session.model_copy(update={"plan_name": text, "reasons": (reason,)})
    one = one.model_copy(update={"changes": (change,), "session": session})
    html = page_html(page([one], name=text, questions=(text,)))
    seen = Seen(html)
    assert {tag for tag, _ in seen.elements} <= {tag for tag, _ in plain.elements}
    assert seen.text.count(text.strip()) >= 7, "name, title, plan, pain, question, reason, change, note"
    assert read_page(html).trainee.name == text


def test_signs_that_turn_the_order_of_a_line_or_steer_a_terminal_are_not_shown() -> None:
    made = a_page(name="a\u202eb\u2066c\x1b[31md\x07")
    assert "abc[31md" in Seen(page_html(made)).text
    assert read_page(page_html(made)).trainee.name == made.trainee.name, "the data stay as they came"


def test_a_page_without_pain_says_so_and_says_no_more() -> None:
    text = Seen(page_html(a_page(choice=without("pain")))).text
    assert PAIN_KEPT_BACK in text
    assert NO_PAIN not in text
    own_words = (PAIN_KEPT_BACK, *CAUTIONS, URGENT)
    for sentence in own_words:
        text = text.replace(sentence, "")
    assert re.findall(r"pain|hurt|elbow|knee|sting|spare", text, re.IGNORECASE) == []


@pytest.mark.parametrize("weeks", [("2026-W10",), ("2026-W09", "2026-W10")])
def test_an_empty_page_says_that_there_was_no_session(weeks: tuple[str, ...]) -> None:
    made = page([], weeks=weeks)
    text = Seen(page_html(made)).text
    assert text.count("No session.") == len(weeks)
    assert NO_PAIN in text


def test_a_page_of_one_week_draws_no_columns_over_weeks() -> None:
    assert '<svg class="bar"' in page_html(page([record()]))
    assert "by week" not in Seen(page_html(page([record()]))).text


def test_every_drawing_has_its_words_beside_it_and_is_hidden_from_a_screen_reader() -> None:
    html = page_html(a_page())
    drawings = re.findall(r"<svg[^>]*>", html)
    assert len(drawings) > 5
    assert all('aria-hidden="true"' in drawing for drawing in drawings)
    assert len(re.findall(r"</div><svg", html)) == len(drawings)


def test_sets_that_nobody_rated_are_drawn_neither_hard_nor_easy() -> None:
    """Half of the sets rated, all of them hard: half of the column is filled, the rest is dashed."""
    rated = record(exceptions={key: SetAnswer(effort=8) for key in (SIDE_LEFT, SIDE_RIGHT)})
    html = page_html(page([rated]))
    assert "Vertical push</b>: 2 sets. 1 of 1 rated were hard." in html
    assert english(figures.DASHED_SETS) in html
    assert english(figures.DASHED_LOADS) not in html, "the key names only what is drawn"
    patterns = html.split("<h2>By movement pattern</h2>")[1].split("</section>")[0]
    boxes = re.findall(r'<rect class="(\w+)" x="[\d.]+" y="([\d.]+)" width="16" height="([\d.]+)"', patterns)
    assert boxes == [("all", "20", "20"), ("part", "20", "20"), ("unrated", "0", "20")]


def test_the_loads_on_paper_say_that_they_are_the_heaviest_of_a_week() -> None:
    """12 kg in round 1 only is the load of no other round."""
    heavier = {key: SetAnswer(load_g=12_000) for key in (SIDE_LEFT, SIDE_RIGHT)}
    html = page_html(page([record(loads_g={"one-hand-press": 8_000}, exceptions=heavier)]))
    loads = html.split("<h2>Loads by movement</h2>")[1].split("</section>")[0]
    assert "The heaviest of each week, in whatever round." in loads
    assert "12 kg in week 10" in loads


def test_a_session_load_without_one_of_its_efforts_says_so_and_its_column_is_dashed() -> None:
    def on(day: int, effort: float | None) -> Record:
        at = STARTED_AT + timedelta(days=day)
        return record(record_id=f"{day}", started_at=at, effort=effort)

    html = page_html(page([on(0, 7), on(7, 7), on(8, None), on(14, None)], weeks=(*WEEKS[1:], "2026-W12")))
    assert (
        "2 sessions, 6 min. 4 of 4 rounds. Effort 7 of 10. Effort not said in 1 session. Session load 21."
        in html
    )
    said = "by week</b>: 21, 21 (effort of 1 session not said), not known."
    assert f"Session load (effort × minutes) {said}" in html
    assert english(figures.DASHED_LOADS) in html
    drawn = html.split(said)[1].split("</li>")[0]
    assert re.findall(r'class="(all|part|unrated)"', drawn) == ["all", "part", "unrated"]


def test_what_is_left_out_after_pain_stands_first_and_pain_without_a_session_with_the_pain() -> None:
    made = page([record()], after_pain=OUT, pain_notes=[noted_pain()])
    seen = Seen(page_html(made))
    assert seen.sections[:2] == ["Left out after pain", "Pain"]
    said = " ".join(seen.words)
    assert "One hand press, left elbow, since Monday 2 March" in said
    assert "left knee, pain 6 of 10." in said
    assert read_page(page_html(made)) == made


def test_a_page_without_pain_betrays_nothing_of_what_is_left_out_after_it_or_was_noted() -> None:
    made = page([record()], after_pain=OUT, pain_notes=[noted_pain()], choice=without("pain"))
    assert (made.after_pain, made.pain_notes) == ((), ())
    assert made == page([record()], choice=without("pain"))


def test_easy_movement_stands_apart_from_the_sessions_and_is_in_no_figure() -> None:
    easy = record(easy_session(), started_at=STARTED_AT + timedelta(days=1), record_id="easy", effort=2)
    alone, beside = (page_html(page(of)) for of in ([record(effort=6)], [record(effort=6), easy]))
    assert "Easy movement" not in alone
    assert "1 session, 3 min. 2 of 2 rounds. Effort 6 of 10." in beside
    assert "Easy movement, 8 min." in beside
    sessions, apart = beside.split("<h2>Easy movement</h2>")
    assert "Tuesday 3 March" not in sessions.split("<h2>Sessions</h2>")[1]
    assert english(figures.NOT_COUNTED) in apart
    assert "Easy movement, 8 min. Effort 2 of 10." in apart
    assert beside.count("<svg") == alone.count("<svg"), "no chart knows of it"
