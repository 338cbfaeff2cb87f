"""Messages between Python and the page: what is sent, and what is accepted from the page."""

import json

import pytest
from page_words import hello_text, work_at

from companion.services.page_messages import MAX_FROM_PAGE_CHARS, Fired, Schedule, parse_from_page
from engine.live.cues import PATTERNS_MS, CueKind


def test_a_cue_travels_with_all_that_the_page_needs() -> None:
    sent = json.loads(Schedule(zero_ms=5, cues=work_at(7)).model_dump_json())
    assert sent == {
        "kind": "schedule",
        "zero_ms": 5,
        "cues": [
            {
                "at_ms": 7,
                "kind": "work",
                "pattern_ms": list(PATTERNS_MS[CueKind.work]),
                "tone": [{"start_ms": 0, "length_ms": 700, "hz": 880}],
                "words": "Work.",
            }
        ],
    }


def test_what_the_page_reports_of_a_cue_is_read() -> None:
    text = '{"kind":"fired","cue":"rest","at_ms":30000,"late_ms":0.4,"vibrated":true,"dropped":false}'
    assert parse_from_page(text) == Fired(
        kind="fired", cue=CueKind.rest, at_ms=30_000, late_ms=0.4, vibrated=True, dropped=False
    )


@pytest.mark.parametrize(
    "text",
    [
        "",
        "null",
        "[]",
        "no json",
        '{"kind": "ping"}',
        '{"kind": "unknown"}',
        '{"kind": "ping", "page_ms": 1, "more": 2}',
        '{"kind": "ping", "page_ms": NaN}',
        '{"kind": "ping", "page_ms": 1e999}',
        '{"kind": "ping", "page_ms": -1}',
        '{"kind": "ping", "page_ms": ' + "9" * 4_000 + "}",
        '{"kind": "fired", "cue": "rest", "at_ms": -1, "late_ms": 0, "vibrated": true, "dropped": false}',
        "[" * 4_000,
        hello_text(zone="Europe/Lisbon<script>"),
        hello_text(zone="x" * 65),
        hello_text(zone="\ud800"),
        '{"kind": "\ud800"}',
        hello_text() + " " * MAX_FROM_PAGE_CHARS,
    ],
)
def test_what_no_page_of_ours_would_say_is_refused(text: str) -> None:
    assert parse_from_page(text) is None
