"""A link carries a whole plan or adjustment, or says in one sentence why it does not."""

from __future__ import annotations

import hashlib
import json
import zlib
from importlib import resources
from pathlib import Path
from urllib.parse import quote

import pytest
from builders import movement, plan
from places import GOLDEN, SAMPLES
from refusals import told

from engine.base.base_41 import to_base_41
from engine.base.issue import Unreadable, WrongValue
from engine.base.model import JsonObject, revision_of
from engine.base.reading import read
from engine.plan import link as links
from engine.plan.adjustment import Adjustment
from engine.plan.link import TooLong, base_address_fault, fragment, link, read_link
from engine.plan.plan import SessionPlan

SAMPLE_FILES = sorted(SAMPLES.glob("*.json"))
BASE = "https://companion.example.org/app/"


def packed(content: bytes, *, version: int = links.VERSION, check: int | None = None) -> str:
    """A link with any content, as someone who knows the format could make it."""
    check = zlib.crc32(content) if check is None else check
    return text_of(bytes([version]) + check.to_bytes(4, "big") + links._deflated(content))


def text_of(raw: bytes) -> str:
    return "#plan=" + to_base_41(raw)


def content_of(document: SessionPlan | Adjustment) -> JsonObject:
    fields: JsonObject = json.loads(links._content(document))
    return fields


def refusal(written: str) -> str:
    with pytest.raises(Unreadable) as refused:
        read_link(written)
    assert len(refused.value.issues) == 1
    return told(refused.value)


@pytest.mark.parametrize("sample", SAMPLE_FILES, ids=lambda path: path.stem)
def test_a_sample_comes_out_of_its_link_as_it_went_in(sample: Path) -> None:
    written = read(SessionPlan, sample.read_bytes())
    carried = read_link(str(link(BASE, written)))
    assert carried == written
    assert isinstance(carried, SessionPlan)
    assert revision_of(carried) == revision_of(written)


def test_links_of_this_version_are_read_as_they_were_written() -> None:
    plan_line, adjustment_line = (GOLDEN / "links-5.txt").read_text("utf-8").splitlines()
    assert read_link(f"{BASE}#{plan_line}") == read(SessionPlan, (GOLDEN / "plan.json").read_bytes())
    adjustment = read(Adjustment, (GOLDEN / "adjustment.json").read_bytes())
    assert read_link(f"{BASE}#{adjustment_line}") == adjustment


def test_the_dictionary_of_a_version_never_changes() -> None:
    """Never change this: a link made with one dictionary cannot be read with another."""
    words = resources.files("engine.plan").joinpath("link-dictionary-5.txt").read_bytes()
    assert hashlib.sha256(words).hexdigest() == (
        "142eca9e628a5e76073d902f0a52d92aa3bb09b9abc1f65b064d0d2aa01207ef"
    )
    assert len(words) <= 32_768 - 262, "deflate reaches back no further (RFC 1951, section 2; zlib.h)"


def test_what_equals_a_default_is_left_out_and_what_tells_one_kind_from_another_is_not() -> None:
    fields = content_of(plan())
    assert fields.keys() == {"version", "id", "name", "blocks", "movements"}
    assert [block["kind"] for block in fields["blocks"]] == ["warm_up", "practice", "work"]


def test_without_an_address_there_is_no_link() -> None:
    assert link(None, plan()) is None
    assert link("", plan()) is None


@pytest.mark.parametrize(
    "address",
    [
        *("https://rowing.example", "https://rowing.example/", "https://a.example:8443/x/y.z/~coach/"),
        *("http://localhost:8550/", "http://127.0.0.1:1/"),
    ],
)
def test_an_address_that_serves_the_companion_can_start_a_link(address: str) -> None:
    assert base_address_fault(address) is None
    assert str(link(address, plan())).startswith(f"{address}#plan=")


@pytest.mark.parametrize(
    "address",
    [
        *("http://rowing.example/", "javascript:alert(1)//", "data:text/html,x", "//rowing.example/"),
        *("https://rowing.example/#x", "https://rowing.example/?plan=1", 'https://rowing.example/"><b>'),
        *("https://rowing.example/ x", "https://user@rowing.example/", "https://rowing.example/" + "a" * 300),
    ],
)
def test_another_address_is_refused(address: str) -> None:
    assert base_address_fault(address)
    with pytest.raises(WrongValue, match="write_address"):
        link(address, plan())


def test_a_plan_too_long_for_a_link_is_sent_as_a_file() -> None:
    words = [hashlib.sha512(bytes([n])).hexdigest() for n in range(100)]
    many = tuple(movement(f"m-{n}", end_point=words[n] + words[n + 50]) for n in range(50))
    with pytest.raises(TooLong, match="too_long_for_a_link"):
        fragment(plan(movements=(*plan().movements, *many)))


def test_a_link_may_be_broken_into_lines_or_be_the_fragment_alone() -> None:
    whole = str(link(BASE, plan()))
    lines = "\n  ".join(whole[at : at + 40] for at in range(0, len(whole), 40))
    assert read_link(f" {lines}\r\n") == plan()
    assert read_link(whole.partition("#")[2]) == plan()


def test_a_link_whose_signs_were_written_in_hexadecimal_on_the_way_is_read() -> None:
    """RFC 3986, section 2.1."""
    assert read_link(quote(str(link(BASE, plan())), safe="")) == plan()


def test_a_newer_link_is_refused_kindly() -> None:
    assert "newer version" in refusal(packed(b"{}", version=links.VERSION + 1))


def test_a_newer_plan_in_a_link_is_refused_kindly() -> None:
    newer = content_of(plan()) | {"version": 7, "gears": [1, 2]}
    assert "newer version" in refusal(packed(json.dumps(newer).encode()))


@pytest.mark.parametrize("written", ["", "#", "#session=ABC", "https://rowing.example/", "=", "x" * 99])
def test_what_carries_nothing_of_ours_says_so(written: str) -> None:
    assert refusal(written) == "This link carries neither a plan nor an adjustment."


def test_a_link_that_lost_its_end_or_changed_on_its_way_says_so() -> None:
    whole = fragment(plan())
    turned = whole.replace("A", "B", 1)
    for broken in ("plan=", "plan=0", "plan=é", "plan=:::", whole[:-1], whole[:-3], whole + "000", turned):
        assert "damaged or was cut off" in refusal(broken)


def test_a_plan_with_faults_is_not_taken_from_a_link() -> None:
    backwards = content_of(plan())
    backwards["blocks"][2]["rounds"] = {"min": 4, "max": 2}
    assert refusal(packed(json.dumps(backwards).encode())) == (
        "Block 3 › Rounds: The minimum of 4 is more than the maximum of 2."
    )
