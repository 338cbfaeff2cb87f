"""A page is read back as it was written; a hostile one is refused in a sentence and never taken in part."""

from __future__ import annotations

import json
import re
from datetime import timedelta
from time import process_time
from typing import Any

import jsonschema
import pytest
from builders import HAND, STARTED_AT, noted_pain, profile, record
from pages import MADE_AT, WEEK, late_answers, page, painful_record, without
from refusals import told

from engine.base.issue import Unreadable
from engine.base.message import Own
from engine.base.reading import LARGEST_DOCUMENT_BYTES
from engine.coach.page import CoachPage, PageAsked
from engine.coach.question import Question
from engine.coach.session_report import report_of
from engine.coach.withheld import PageChoice
from engine.formats import schema
from engine.movements.after_pain import after_pain
from engine.record.history import history_of
from engine.record.record import Record
from storage.browser.memory_shelves import MemoryShelves
from storage.browser.store import BrowserStore
from storage.exchange.coach_page import coach_page, embedded, read_page, session_line
from storage.models import WeekNote
from storage.problem import StorageProblem
from storage.store import Store

BUSY_S = 2.0
"""On a slow machine. A parser that reads everything took up to 40 s."""
CLOSES_THE_ELEMENT = "</script><script>alert(1)</script><!--"
SEPARATORS = "one\u2028two\u2029three & <four>"


def a_page(**asked: Any) -> CoachPage:
    return page([painful_record()], late_answers(), **asked)


def file_with(data: str, *, more: str = "") -> str:
    return f'<!doctype html><script type="application/json" id="coach-page">{data}</script>{more}'


def refusal(raw: str | bytes) -> str:
    with pytest.raises(Unreadable) as refused:
        read_page(raw)
    return told(refused.value)


def content_of(written: str) -> dict[str, Any]:
    found = re.fullmatch(r"<script [^>]*>(.*)</script>", written, re.DOTALL)
    assert found is not None
    content: dict[str, Any] = json.loads(found[1])
    return content


def edited(**changes: Any) -> str:
    return json.dumps(content_of(embedded(a_page())) | changes)


@pytest.mark.parametrize(
    "choice", [PageChoice(), without("pain"), without("loads", "notes"), without("effort")]
)
def test_a_page_is_read_back_as_it_was_written(choice: PageChoice) -> None:
    made = a_page(choice=choice, questions=("Is the row too heavy?",))
    assert read_page(embedded(made)) == made
    assert read_page(b"\xef\xbb\xbf" + embedded(made).encode()) == made


@pytest.mark.parametrize("text", [CLOSES_THE_ELEMENT, SEPARATORS, "\u202egnirts", 'a "quoted" \\ word', "🏋"])
def test_no_text_ends_the_element_that_carries_the_data(text: str) -> None:
    made = a_page(name=text, questions=(text,))
    written = embedded(made)
    assert re.findall(r"[<>]", written) == ["<", ">", "<", ">"], "only the signs of the element itself"
    assert not set("&\u2028\u2029") & set(written)
    assert read_page(f"<p>{'x' * 1000}</p>{written}<p>") == made


def test_the_data_keep_to_the_published_schema() -> None:
    validator = jsonschema.Draft202012Validator(schema("coach-page"))
    for choice in (PageChoice(), without("pain", "loads", "effort", "given_up", "notes")):
        assert list(validator.iter_errors(content_of(embedded(a_page(choice=choice))))) == []
    assert list(validator.iter_errors(content_of(embedded(a_page())) | {"weeks": "2026-W10"}))


def test_the_data_begin_with_format_and_version() -> None:
    assert list(content_of(embedded(a_page())))[:2] == ["format", "version"]


@pytest.mark.parametrize(
    ("raw", "said"),
    [
        (b"\x00" * 10_000_000, "larger than 4,000 kB"),
        ("x" * (LARGEST_DOCUMENT_BYTES + 1), "larger than 4,000 kB"),
        (b"\xff\xfe<script>", "cannot be read as text"),
        ("", "not a whole page"),
        ("<html><body>Hello</body></html>", "not a whole page"),
        ('<div id="coach-page">{}</div>', "not a whole page"),
        ('<!-- <script id="coach-page">{}</script> -->', "not a whole page"),
        (file_with("{}", more=file_with("{}")), "contradicts itself"),
        (file_with("{}").removesuffix("</script>"), "cut short"),
        (file_with("[" * 100_000), "parts within parts"),
        (file_with('{"a":' * 5_000), "parts within parts"),
        (file_with('{"a": NaN}'), "Not a number: NaN"),
        (file_with('{"a": 1e999}'), "too large"),
        (file_with('{"a": ' + "9" * 5_000 + "}"), "too large: 99999999…"),
        (file_with('{"a": 1e16}'), "number is too large"),
        (file_with('{"a": 1000000000000001}'), "number is too large"),
        (file_with('{"a": 1000000000000000}'), "another kind of file"),
        (file_with('{"a": [-1000000000000001]}'), "number is too large"),
        (file_with("{"), "cannot be read from line 1"),
        (file_with("[]"), "another kind of file"),
        (file_with("{}"), "another kind of file"),
        (file_with('{"format": "session-plan", "version": 1}'), "another kind of file"),
        (file_with(edited(version=2)), "newer version"),
        (file_with(edited(weeks=[])), "weeks"),
        (file_with(edited(made_at="yesterday")), "Made at"),
        (file_with(edited(trainee={"id": "x", "name": "\ud800"})), "cannot be read as text"),
        (file_with(edited(trainee={"id": "x", "name": "x" * 500})), "Name: This is too long"),
        (file_with(edited(sessions=[])), "contradicts itself"),
        (file_with(edited(run="rm -rf /")), "not known here"),
    ],
)
def test_a_file_that_is_no_page_is_refused_in_a_sentence(raw: str | bytes, said: str) -> None:
    assert said in refusal(raw)


@pytest.mark.parametrize("kept", [10, 200, 1_000, -10, -1])
def test_a_page_that_was_cut_short_is_refused(kept: int) -> None:
    assert refusal(f"<!doctype html>{embedded(a_page())}"[:kept])


@pytest.mark.parametrize(
    "piece", ["<!--", "<![CDATA[", "<a ", "</", "&#", "<a b='", '<script id="x">', "<?", "<!"]
)
def test_a_file_of_endless_beginnings_is_read_through_once(piece: str) -> None:
    assert refusal(piece * 200_000)


@pytest.mark.parametrize(
    "piece",
    [
        *("<", "<a ", "<a a=1 ", "a=1 ", "<!--", "<!---->", "</", "&a", "coach-page", 'id="coach-page" '),
        *('<script id="coach-page" ', '<script id="coach-page">', '<script id="coach-page"></script>'),
    ],
)
@pytest.mark.parametrize("before", ["", "<", "<a ", '<script id="coach-page" ', '<script id="coach-page">'])
def test_no_file_of_the_size_that_is_read_keeps_the_companion_busy(piece: str, before: str) -> None:
    """The windows of a server share one loop: what keeps it busy for long keeps everybody from stopping."""
    began = process_time()
    assert refusal(before + piece * ((LARGEST_DOCUMENT_BYTES - len(before)) // len(piece)))
    assert process_time() - began < BUSY_S


def test_the_earliest_moment_there_is_breaks_nothing() -> None:
    data = edited(made_at="0001-01-01T00:00:00+14:00")
    assert read_page(file_with(data)).made_at.year == 1


def test_a_session_is_one_line_with_whose_it_is_and_its_week() -> None:
    line = session_line("trainee", report_of(record(note="two\nlines"), (), PageChoice()))
    assert "\n" not in line
    content = json.loads(line)
    assert (content["trainee_id"], content["iso_week"], content["note"]) == ("trainee", WEEK, "two\nlines")
    assert content["movements"][0]["sets"][0]["limited_by"] is None, "every field is there, even empty"


async def test_the_page_of_a_store_has_its_records_as_amended(store: Store) -> None:
    saved: Record = painful_record()
    note = noted_pain()
    out = after_pain(history_of([saved]).flagged, ())
    assert [one.movement for one in out] == [HAND.slug]
    made = a_page().model_copy(update={"after_pain": out, "pain_notes": (note,)})

    await store.person.save_profile(profile())
    await store.sessions.save(saved)
    await store.sessions.save_pain_note(note)
    await store.sessions.save_pain_note(noted_pain(id="later", at=MADE_AT + timedelta(days=7)))
    for late in late_answers():
        await store.sessions.amend(late)
    assert await coach_page(store, PageAsked(weeks=(WEEK,)), made_at=MADE_AT) == made


async def test_a_store_of_nobody_makes_no_page() -> None:
    with pytest.raises(StorageProblem, match="no_profile"):
        await coach_page(BrowserStore(MemoryShelves()), PageAsked(weeks=(WEEK,)), made_at=MADE_AT)


async def test_a_page_asks_what_was_kept_for_its_last_week_less_what_is_kept_back() -> None:
    store = BrowserStore(MemoryShelves())
    await store.person.save_profile(profile())
    kept = (Question(said=Own(own="Why the knee?"), about="pain"), Question(said=Own(own="Is it too long?")))
    await store.person.save_week_note(WeekNote(iso_week=WEEK, questions=kept, all_activity_logged=True))
    await store.person.save_week_note(
        WeekNote(iso_week="2026-W09", questions=(Question(said=Own(own="An old one?")),))
    )
    asked = PageAsked(weeks=("2026-W09", WEEK))
    made = await coach_page(store, asked, made_at=MADE_AT)
    assert made.questions == tuple(one.said for one in kept)
    painless = asked.model_copy(update={"choice": without("pain")})
    assert (await coach_page(store, painless, made_at=MADE_AT)).questions == (kept[1].said,)
    own = asked.model_copy(update={"questions": (Own(own="Mine?"),)})
    assert (await coach_page(store, own, made_at=MADE_AT)).questions == own.questions


async def test_monotony_stands_only_in_the_weeks_in_which_all_activity_was_logged() -> None:
    store = BrowserStore(MemoryShelves())
    await store.person.save_profile(profile())
    for number in range(2):
        at = STARTED_AT + timedelta(weeks=number)
        await store.sessions.save(record(effort=7, started_at=at, record_id=f"week-{number}"))
    await store.person.save_week_note(WeekNote(iso_week=WEEK, all_activity_logged=True))
    made = await coach_page(store, PageAsked(weeks=(WEEK, "2026-W11")), made_at=MADE_AT)
    assert [review.monotony is None for review in made.reviews] == [False, True]


def test_a_page_from_a_clock_in_the_future_is_refused() -> None:
    """One of 2099 would be the newest for ever."""
    ahead = page([record()], made_at=MADE_AT.replace(year=2099))
    with pytest.raises(Unreadable) as refused:
        read_page(embedded(ahead), now=MADE_AT)
    assert "made on 8 March 2099, which is still to come" in told(refused.value)
    assert read_page(embedded(page([record()])), now=MADE_AT - timedelta(hours=23))
