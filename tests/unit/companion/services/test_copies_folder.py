"""What Python asks of a page about the folder for copies, and what it makes of the answers."""

from __future__ import annotations

import asyncio
import json
from base64 import b64encode

import pytest

from companion.services import copies_folder
from companion.services.copies_folder import KEY, FolderSeen, PageFolder
from companion.services.page_channel import Listener
from companion.services.page_messages import (
    MAX_FROM_PAGE_CHARS,
    FolderAnswer,
    FolderAsked,
    Message,
    parse_from_page,
)
from companion.words.faults import why
from storage.problem import Cause, StorageProblem

NAME = "session-companion-8d2f6b7e-93a4-4f5b-8a61-3c0d5e7f9b12.json"


class AnsweringPage:
    """A channel to a page that answers what a test says, in turn; without answers it is silent."""

    superseded = False

    def __init__(self, *answers: dict[str, object]) -> None:
        self.answers, self.asked = list(answers), list[FolderAsked]()
        self.folder = PageFolder(self)

    def listen(self, listener: Listener) -> None:
        raise AssertionError("whoever plays the cues listens")

    async def send(self, message: Message) -> None:
        assert isinstance(message, FolderAsked)
        self.asked.append(message)
        if self.answers:
            text = json.dumps(
                {"kind": "folder", "ask": message.ask, **self.answers.pop(0)}, separators=(",", ":")
            )
            answer = parse_from_page(text)
            assert isinstance(answer, FolderAnswer)
            asyncio.get_running_loop().call_soon(self.folder.take, answer)


async def test_the_page_tells_which_folder_it_knows_and_for_whom() -> None:
    page = AnsweringPage(
        {"outcome": "done", "offered": True, "name": "Training", "allowed": True, "note": "{}"}
    )
    page.folder.whose = "somebody"
    assert await page.folder.look() == FolderSeen(offered=True, name="Training", allowed=True, note="{}")
    (asked,) = page.asked
    assert (asked.do, asked.whose, asked.key) == ("look", "somebody", KEY)


async def test_who_closes_the_picker_has_chosen_none() -> None:
    assert await AnsweringPage({"outcome": "none"}).folder.choose() is None


async def test_a_large_file_comes_in_parts_and_whole() -> None:
    first, second = b"\xf0\x9f\x91" * 1_000, b"\x8d and the rest"
    page = AnsweringPage(
        {"outcome": "done", "part": b64encode(first).decode(), "more": True},
        {"outcome": "done", "part": b64encode(second).decode()},
    )
    assert await page.folder.read(NAME) == first + second
    assert [one.start for one in page.asked] == [0, len(first)]


async def test_a_file_is_written_as_text_and_its_stamp_comes_back() -> None:
    page = AnsweringPage({"outcome": "done", "stamp": "7-12"})
    assert await page.folder.write(NAME, "Grip – “fine” 🪨".encode()) == "7-12"
    assert (page.asked[0].name, page.asked[0].text) == (NAME, "Grip – “fine” 🪨")


@pytest.mark.parametrize(
    ("outcome", "cause"),
    [
        ("lapsed", Cause.folder_lapsed),
        ("no_tap", Cause.folder_no_tap),
        ("gone", Cause.folder_gone),
        ("full", Cause.folder_full),
        ("stranger", Cause.folder_stranger),
        ("failed", Cause.folder_fault),
    ],
)
async def test_what_the_browser_refuses_is_one_sentence(outcome: str, cause: Cause) -> None:
    page = AnsweringPage({"outcome": outcome, "detail": "InvalidStateError"})
    with pytest.raises(StorageProblem) as refused:
        await page.folder.write(NAME, b"{}")
    assert refused.value.cause is cause
    assert refused.value.is_of_folder
    assert why(refused.value).endswith((".", "more."))


async def test_a_page_that_is_silent_holds_nobody_up_and_a_late_answer_is_dropped(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(copies_folder, "LOOK_LIMIT_S", 0.01)
    page = AnsweringPage()
    with pytest.raises(StorageProblem) as refused:
        await page.folder.look()
    assert refused.value.cause is Cause.folder_away
    page.folder.take(FolderAnswer(kind="folder", ask=page.asked[0].ask, outcome="done"))  # type: ignore[arg-type]
    page.answers.append({"outcome": "done", "offered": True})
    assert await page.folder.look() == FolderSeen(offered=True)


async def test_a_person_who_says_no_leaves_the_page_without_the_right_to_write() -> None:
    assert not await AnsweringPage({"outcome": "lapsed"}).folder.allow()
    assert await AnsweringPage({"outcome": "done", "name": "Training", "allowed": True}).folder.allow()


@pytest.mark.parametrize(
    "answer",
    [
        {"part": "no base64!"},
        {"part": "A" * 1_000_000},
        {"name": "x" * 256},
        {"files": {"x" * 121: "1"}},
        {"files": {f"{number}": "1" for number in range(5_001)}},
        {"stamp": "x" * 61},
        {"outcome": "perhaps"},
        {"ask": -1},
        {"more": "perhaps"},
        {"folder": "another field"},
    ],
)
def test_an_answer_that_no_page_of_ours_would_give_is_refused(answer: dict[str, object]) -> None:
    text = json.dumps({"kind": "folder", "ask": 1, "outcome": "done", **answer}, separators=(",", ":"))
    assert parse_from_page(text) is None


def test_only_an_answer_about_the_folder_may_be_long() -> None:
    long = "A" * 4 * MAX_FROM_PAGE_CHARS
    found = parse_from_page(f'{{"kind":"folder","ask":1,"outcome":"done","part":"{long}"}}')
    assert isinstance(found, FolderAnswer)
    assert parse_from_page(f'{{"kind":"link","text":"plan={long}"}}') is None
