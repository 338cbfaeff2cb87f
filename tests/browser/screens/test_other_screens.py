"""Kit, plans, cues, settings, the figure: each main action by a person, found after a reload, and kept."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from beside import done
from builders import HAND, plan, record, work
from flutter_page import await_vibrations, enable_semantics, vibrations
from forms import pick, write
from keys import pixels_of, press, walk_to
from playwright.sync_api import BrowserContext, Page, expect
from short_plan import SHORT
from walk import LIMIT_MS, on_warm_up, opened, shown, tap

from companion.style.palette import DARK
from companion.views.controls.undo import UNDO
from companion.views.home.backup import BRING_IN, ERASE, SAVE, WORD
from companion.views.home.profile_questions import UNSAID, WEEK
from companion.views.home.settings import LESS_MOTION, MOTION
from companion.words.words import english
from engine.base.units import LoadUnit
from engine.live.cues import PATTERNS_MS, SAID_ALONE
from engine.load.rack import FixedWeight
from engine.movements.movement import Joint, Side
from engine.plan.link import fragment
from engine.record.profile import ProfileFlag
from engine.today.cautions import CAUTIONS
from storage.folder.store import FolderStore
from storage.models import Theme

pytestmark = pytest.mark.browser

GUEST = plan(
    work(HAND.slug), id="harbour-guest", name="A guest's evening", author="Ines Okonjo", note="Slowly down."
)


@pytest.fixture
def store(tmp_path: Path) -> FolderStore:
    return FolderStore(tmp_path)


@pytest.fixture
def page(context: BrowserContext, start_app: Callable[..., str], tmp_path: Path, store: FolderStore) -> Page:
    """A window on the first screen of a folder with one plan in it."""
    done(store.plans.save(SHORT))
    page = opened(context, start_app(tmp_path))
    tap(page, "I have read this")
    shown(page, "How many minutes")
    return page


def loaded_again(page: Page) -> None:
    page.reload()
    enable_semantics(page)


def test_the_dumbbells_at_home_are_listed_counted_and_proposed(page: Page, store: FolderStore) -> None:
    tap(page, "Two")
    tap(page, "Kit and weights")
    shown(page, "No dumbbell is listed yet")
    write(page, "Weight of a dumbbell", "heavy")
    tap(page, "Add it")
    shown(page, "Write a weight such as")
    walk_to(page, "Weight of a dumbbell", key="Shift+Tab")
    page.keyboard.press("Control+A")
    page.keyboard.type("8")
    tap(page, "Add it")
    tap(page, "More: 8 kg")
    shown(page, "One hand press: 8 kg")
    page.get_by_role("checkbox", name="A free wall").click(force=True)
    loaded_again(page)
    shown(page, "One hand press: 8 kg")
    shown(page, "8 kg, 2 of them")

    tap(page, "Fewer: 8 kg")
    shown(page, "8 kg, 1 of them")
    tap(page, "Fewer: 8 kg")
    shown(page, "No dumbbell is listed yet")
    tap(page, UNDO)
    shown(page, "8 kg, 1 of them")
    kit = done(store.person.kit())
    assert kit.rack.fixed == (FixedWeight(load_g=8_000),)
    assert kit.absent == ("wall",)


def test_a_plan_from_a_file_is_read_before_it_is_kept_and_its_faults_stand_at_their_place(
    page: Page, store: FolderStore
) -> None:
    tap(page, "Plans")
    broken = GUEST.model_dump(mode="json")
    broken["blocks"][0]["movements"][0]["tempo"] = "slow"
    pick(page, "evening.json", json.dumps(broken))
    shown(page, "evening.json cannot be saved: 1 fault")
    shown(page, "Block 1 › Movement 1 › Tempo")

    pick(page, "evening.json", GUEST.model_dump_json())
    shown(page, "by Ines Okonjo")
    shown(page, "60 s work and 30 s rest")
    assert done(store.plans.one(GUEST.id)) is None
    tap(page, "Save this plan")
    shown(page, "A guest's evening is saved, and chosen")
    loaded_again(page)
    tap(page, "What A guest's evening asks")
    with page.expect_download() as download:
        tap(page, "Save as a file")
    assert json.loads(Path(download.value.path()).read_bytes()) == GUEST.model_dump(mode="json")
    tap(page, "Remove this plan")
    shown(page, "A guest's evening is removed")
    tap(page, UNDO)
    shown(page, "by Ines Okonjo")
    assert done(store.plans.all()) == (GUEST, SHORT)


def test_a_link_shows_what_its_plan_asks_and_is_kept_only_when_the_person_says_so(
    context: BrowserContext, start_app: Callable[..., str], tmp_path: Path, store: FolderStore
) -> None:
    url = start_app(tmp_path)
    page = opened(context, f"{url}#{fragment(GUEST)}")
    tap(page, "I have read this")  # the cautions come first
    shown(page, "by Ines Okonjo")
    assert page.url == url, "what was taken in is not opened again"
    assert done(store.plans.one(GUEST.id)) is None
    tap(page, "Save this plan")
    shown(page, "A guest's evening is saved, and chosen")
    loaded_again(page)
    shown(page, "chosen for the next session")
    assert done(store.plans.one(GUEST.id)) == GUEST
    assert done(store.person.settings()).plan_id == GUEST.id
    page.evaluate("location.hash = 'plan=CUT0SHORT'")
    tap(page, "Back")
    shown(page, "The link cannot be saved: 1 fault")


def test_each_cue_can_be_tried_and_the_mix_is_kept(page: Page, store: FolderStore) -> None:
    tap(page, "Cues")
    shown(page, "This device has no English voice: recorded words are played")
    for number, kind in enumerate(SAID_ALONE, start=1):
        page.get_by_role("button", name="Try").nth(number - 1).click(force=True)
        assert await_vibrations(page, number)[-1].pattern_ms == PATTERNS_MS[kind]
    tap(page, "volume 25 %")
    page.get_by_role("checkbox", name="Touch").click(force=True)
    page.get_by_role("checkbox", name="Tones").click(force=True)
    shown(page, "You will feel and hear nothing")
    loaded_again(page)
    shown(page, "You will feel and hear nothing")
    tap(page, "Try Stop")
    tap(page, "Back")
    shown(page, "How many minutes")
    assert vibrations(page) == []
    settings = done(store.person.settings())
    assert (settings.haptic, settings.tone, settings.voice, settings.volume) == (False, False, False, 0.25)


def test_name_unit_colours_and_what_holds_for_the_person_are_kept(page: Page, store: FolderStore) -> None:
    tap(page, "Settings")
    shown(page, "Weights in")
    walk_to(page, "Name")
    page.keyboard.press("Control+A")
    page.keyboard.type("Runa Dahl")
    press(page, "Pounds")
    press(page, "High blood pressure", with_key="Space")
    shown(page, english(CAUTIONS[ProfileFlag.high_blood_pressure])[:40])
    press(page, "Dark")
    press(page, MOTION, with_key="Space")
    expect(page.get_by_role("checkbox", name=MOTION)).not_to_be_checked(timeout=LIMIT_MS)
    assert pixels_of(page, DARK.background) > 100_000
    page.emulate_media(reduced_motion="reduce")
    loaded_again(page)
    shown(page, english(CAUTIONS[ProfileFlag.high_blood_pressure])[:40])
    page.wait_for_timeout(500)
    assert pixels_of(page, DARK.background) > 100_000
    expect(page.get_by_role("checkbox", name=LESS_MOTION)).to_be_visible(timeout=LIMIT_MS)
    profile, settings = done(store.person.profile()), done(store.person.settings())
    assert (profile.name, profile.unit) == ("Runa Dahl", LoadUnit.lb)
    assert profile.flags == (ProfileFlag.high_blood_pressure,)
    assert (settings.theme, settings.motion) == (Theme.dark, False)


def test_the_week_of_a_pregnancy_is_asked_only_where_it_is_ticked_and_it_is_kept(
    page: Page, store: FolderStore
) -> None:
    tap(page, "Settings")
    shown(page, "Weights in")
    expect(page.get_by_text(WEEK)).to_have_count(0)
    press(page, "Pregnant", with_key="Space")
    shown(page, UNSAID)
    walk_to(page, WEEK)
    page.keyboard.type("22")
    expect(page.get_by_text(UNSAID)).to_have_count(0, timeout=LIMIT_MS)
    loaded_again(page)
    shown(page, english(CAUTIONS[ProfileFlag.pregnant])[:40])
    said = done(store.person.profile()).pregnancy
    assert said is not None
    assert said.week == 22


def test_three_taps_lead_to_the_warm_up_and_what_hurts_is_pointed_at_on_the_figure(
    page: Page, store: FolderStore
) -> None:
    tap(page, "5 minutes less")
    tap(page, "One")
    tap(page, "Start")
    on_warm_up(page)
    tap(page, "Something hurts")
    tap(page, "point left knee")
    tap(page, "None: dull, left knee")
    tap(page, "pain 4")
    shown(page, "Stop this movement for today")
    tap(page, "End the session")
    tap(page, "Save")
    shown(page, "left knee, pain 4 of 10")
    loaded_again(page)
    shown(page, "left knee, pain 4 of 10")
    (kept,) = done(store.sessions.records())
    assert [(pain.joint, pain.side, pain.rating) for pain in kept.pains] == [(Joint.knee, Side.left, 4)]

    tap(page, "Next session")
    tap(page, "point right shoulder")
    today = page.get_by_role("group", name="Today: right shoulder")
    today.get_by_role("button", name="pain 6").click(force=True)
    shown(page, "right shoulder: 6")


def test_a_backup_brings_plans_back_and_no_erased_session(page: Page, store: FolderStore) -> None:
    done(store.sessions.save(record(record_id="an-evening")))
    tap(page, "Settings")
    shown(page, "This erases 1 session, your plans, weights, name and settings")
    with page.expect_download() as download:
        tap(page, SAVE)
    backup = Path(download.value.path()).read_text()
    shown(page, "1 plan and 1 session")

    tap(page, ERASE)
    shown(page, "Nothing was erased")
    assert len(done(store.sessions.records())) == 1
    walk_to(page, f"Write “{WORD}” to go on", key="Shift+Tab")
    page.keyboard.type(WORD)
    tap(page, ERASE)
    shown(page, "I have read this")
    assert done(store.sessions.records()) == ()
    assert done(store.person.profile()) is None

    tap(page, "I have read this")
    tap(page, "Settings")
    pick(page, "backup.json", backup, by=BRING_IN)
    shown(page, "New here: 1 plan")
    loaded_again(page)
    shown(page, "A short one|New here")
    assert done(store.plans.all()) == (SHORT,)
    assert done(store.sessions.records()) == (), "an erased session stays erased"


def test_a_language_tag_that_no_browser_knows_keeps_nobody_out(
    context: BrowserContext, start_app: Callable[..., str], tmp_path: Path
) -> None:
    """As WebKitGTK tells it where no language is set: the client stops at a tag that Intl refuses. What is
    left is the language of the device, and spoken."""
    context.add_init_script(
        """for (const [name, value] of [["language", "c"], ["languages", ["c", "en-US@posix", "de-AT"]]])
          Object.defineProperty(Navigator.prototype, name, { configurable: true, get: () => value });"""
    )
    page = opened(context, start_app(tmp_path))
    shown(page, "Ich habe das gelesen")
    assert page.evaluate("[navigator.language, navigator.languages]") == ["de-AT", ["de-AT"]]
