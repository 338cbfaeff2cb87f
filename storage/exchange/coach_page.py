"""What travels between a person and a coach: the page with its data inside, and sessions as lines of JSON.

A page is read as data from outside: bounded, strict, and nothing in it is ever run or followed.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from datetime import datetime
from html.parser import HTMLParser

from engine.base.issue import echo, unreadable
from engine.base.message import Count, message
from engine.base.periods import days_of, iso_week
from engine.base.reading import LARGEST_DOCUMENT_BYTES, parse_json, read_content
from engine.coach.page import CoachPage, PageAsked, page_from, refuse_future
from engine.coach.session_report import SessionReport
from engine.movements.after_pain import after_pain
from engine.record.profile import Profile
from storage.problem import Cause, StorageProblem
from storage.store import Store

ELEMENT_ID = "coach-page"
DATA_TYPE = "application/json"
LONGEST_START = 1_000
"""Signs before and after the id in the start of its element. † Our judgement, no source."""
_END = re.compile("</script[^<>]{0,100}>", re.IGNORECASE)
LARGEST_NUMBER = 10**15
"""Far above any figure of a page; a larger number could only be meant to break a sum."""

_ESCAPED = {ord(sign): f"\\u{ord(sign):04x}" for sign in "<>&\u2028\u2029"}


async def person_of(store: Store) -> Profile:
    """The person whose things a store keeps. Raises StorageProblem where there is no profile yet."""
    profile = await store.person.profile()
    if profile is None:
        raise StorageProblem(Cause.no_profile)
    return profile


async def coach_page(store: Store, asked: PageAsked, *, made_at: datetime) -> CoachPage:
    """The page of the person of a store. Raises StorageProblem where there is no profile yet."""
    return await weeks_page(store, await person_of(store), asked, made_at=made_at)


async def weeks_page(store: Store, profile: Profile, asked: PageAsked, *, made_at: datetime) -> CoachPage:
    """The page of the weeks asked for, with what the person said about them.

    Where ``asked`` has no questions, those saved for the last week are asked, less those about a part that
    the person keeps back.
    """
    notes = {note.iso_week: note for note in await store.person.week_notes() if note.iso_week in asked.weeks}
    complete = tuple(note.iso_week for note in notes.values() if note.all_activity_logged)
    last = notes.get(max(asked.weeks, default=""))
    saved = last.questions if last and last.questions else ()
    questions = asked.questions or tuple(q.said for q in saved if q.about not in asked.choice.left_out)
    asked = asked.model_copy(update={"complete_weeks": complete, "questions": questions})
    records = [record for week in asked.weeks for record in await store.sessions.records(week)]
    amendments = [one for week in asked.weeks for one in await store.sessions.amendments_in(week)]
    by_then = (await store.sessions.history()).until(days_of(max(asked.weeks))[-1])
    return page_from(
        records,
        amendments,
        profile=profile,
        asked=asked,
        made_at=made_at,
        after_pain=after_pain(by_then.flagged, by_then.tried),
        pain_notes=await store.sessions.pain_notes(),
    )


def embedded(page: CoachPage) -> str:
    """The element that carries a page's data. No text in it can end the element or start another."""
    lean = page.model_dump(mode="json", exclude_defaults=True)
    content = {"format": page.format, "version": page.version, **lean}
    text = json.dumps(content, ensure_ascii=False, separators=(",", ":")).translate(_ESCAPED)
    return f'<script type="{DATA_TYPE}" id="{ELEMENT_ID}">{text}</script>'


def read_page(raw: str | bytes, *, now: datetime | None = None) -> CoachPage:
    """Reads the data of a page. Raises Unreadable with every fault and its place.

    With ``now``, a page that was made in the future is refused.
    """
    size = len(raw) if isinstance(raw, bytes) else len(raw.encode("utf-8", "surrogatepass"))
    if size > LARGEST_DOCUMENT_BYTES:
        raise unreadable(message("file_too_large", most=Count(count=LARGEST_DOCUMENT_BYTES // 1_000)))
    try:
        text = raw.decode("utf-8-sig") if isinstance(raw, bytes) else raw
    except UnicodeError:
        raise unreadable(message("no_text")) from None
    content = parse_json(_data_of(text))
    _refuse_huge_numbers(content)
    page = read_content(CoachPage, content)
    if now is not None:
        refuse_future(page, now)
    return page


def _data_of(text: str) -> str:
    finder = _Finder()
    for piece in _pieces(_without_comments(text)):
        finder.feed(piece)
        if len(finder.found) > 1:
            break
    # The parser is never closed, so it does not look again at the rest of a file that was cut short.
    if finder.is_open:
        raise unreadable(message("page_cut_short"))
    if not finder.found:
        raise unreadable(message("no_page_for_the_coach"))
    if len(finder.found) > 1:
        raise unreadable(message("page_contradicts_itself"))
    return "".join(finder.found[0])


def _pieces(text: str) -> Iterator[str]:
    """The elements that may carry data: those whose start names the id, to their end.

    The rest of a file is not parsed, because a few megabytes of signs can keep the parser busy for a minute.
    """
    end, place = 0, text.find(ELEMENT_ID)
    while place >= 0:
        start = text.rfind("<", max(end, place - LONGEST_START), place)
        closed = text.find(">", place, place + LONGEST_START)
        if start >= 0 and closed >= 0 and text[start : start + 7].lower() == "<script":
            ended = _END.search(text, closed)
            end = ended.end() if ended else len(text)
            yield text[start:end]
        place = text.find(ELEMENT_ID, max(end, place + 1))


def _without_comments(text: str) -> str:
    kept, end = [], 0
    while (start := text.find("<!--", end)) >= 0 and (closed := text.find("-->", start)) >= 0:
        kept.append(text[end:start])
        end = closed + len("-->")
    return "".join((*kept, text[end:]))


class _Finder(HTMLParser):
    """Finds the elements that carry data, by their id."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[list[str]] = []
        self.is_open = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "script" and ("id", ELEMENT_ID) in attrs:
            self.found.append([])
            self.is_open = True

    def handle_data(self, data: str) -> None:
        if self.is_open:
            self.found[-1].append(data)

    def handle_endtag(self, tag: str) -> None:
        self.is_open = self.is_open and tag != "script"


def _refuse_huge_numbers(content: object) -> None:
    waiting = [content]
    while waiting:
        one = waiting.pop()
        if isinstance(one, int | float) and abs(one) > LARGEST_NUMBER:
            raise unreadable(message("number_too_large", number=echo(f"{one:g}")))
        if isinstance(one, dict | list):
            waiting.extend(one.values() if isinstance(one, dict) else one)


def session_line(trainee_id: str, session: SessionReport) -> str:
    """A session as one line of JSON, with its person and its ISO week, all fields written out."""
    whose = {"trainee_id": trainee_id, "iso_week": iso_week(session.local_date)}
    content = whose | session.model_dump(mode="json")
    return json.dumps(content, ensure_ascii=False, separators=(",", ":"))
