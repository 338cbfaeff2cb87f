"""The whole job with the keyboard alone, on a short plan: Tab, Enter, the space bar and the arrows."""

from builders import BEND, HAND, plan, practice, warm_up, work
from keys import SETTLE_MS, press, walk_to
from playwright.sync_api import Page
from walk import LIMIT_MS, minutes_chosen, on_warm_up, shown

from engine.plan.plan import Amount, PracticeKind, RoundsRange, WarmUpItem

BRIEF = plan(
    warm_up(items=(WarmUpItem(movement=BEND.slug, amount=Amount(low=4)),), rounds=RoundsRange(min=1, max=1)),
    practice(movements=(HAND.slug,), timed=None, repetitions=Amount(low=4), usual=PracticeKind.repetitions),
    work(HAND.slug, rounds=RoundsRange(min=1, max=1), work_s=20, rest_s=15),
    id="a-brief-one",
    name="A brief one",
)

ON_IT = "(name) => document.activeElement.innerText === name"


def whole_job(page: Page) -> None:
    """From the cautions to a saved session with an effort of 6 and a note."""
    set_up_and_start(page)
    warm_up_and_practise(page)
    run_the_round_with_a_weight_pauses_and_a_step_back(page)
    say_how_it_was(page)


def set_up_and_start(page: Page) -> None:
    shown(page, "I have read this")
    press(page, "New to strength training", with_key="Space")
    press(page, "I have read this")
    shown(page, "How many minutes")
    press(page, "5 minutes less")
    minutes_chosen(page, 20)
    press(page, "One", with_key="Space")
    press(page, "Start")


def warm_up_and_practise(page: Page) -> None:
    """“Skip” goes away with its screen: the keyboard is then on the main button of the next."""
    on_warm_up(page)
    press_where_it_is(page, "Done")
    shown(page, "Changeover")
    press(page, "Skip")
    press_where_it_is(page, "Done")


def press_where_it_is(page: Page, name: str) -> None:
    """Presses Enter once the keyboard is on the named button, to which it has to come by itself."""
    page.wait_for_function(ON_IT, arg=name, timeout=LIMIT_MS)
    page.wait_for_timeout(SETTLE_MS)  # the client hears of the focus later than the page
    page.keyboard.press("Enter")


def run_the_round_with_a_weight_pauses_and_a_step_back(page: Page) -> None:
    shown(page, "Changeover")
    page.keyboard.press("ArrowRight")
    shown(page, "Get ready")
    page.keyboard.press("ArrowRight")
    shown(page, "left side")
    page.keyboard.press("Space")
    shown(page, "Paused")
    press(page, "two kilograms more", with_key="Space")
    shown(page, "2 kg")
    page.keyboard.press("p")
    shown(page, "left side")
    page.keyboard.press("ArrowLeft")
    shown(page, "Get ready")
    page.keyboard.press("ArrowRight")
    shown(page, "left side")
    page.keyboard.press("p")
    shown(page, "Paused")
    page.keyboard.press("p")
    shown(page, "left side")
    page.keyboard.press("ArrowRight")


def say_how_it_was(page: Page) -> None:
    shown(page, "How was it")
    press(page, "effort 6")
    walk_to(page, "A word to your coach")
    page.keyboard.type("Pleasant")
    press(page, "Save")
    shown(page, "1 session")
