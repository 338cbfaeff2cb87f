"""Pages to the coach's desk, what the desk says of them, and the coach's answer."""

from __future__ import annotations

from typing import Any

from simulation.exchange import PAGE, _post, some_change
from simulation.facts import Facts
from simulation.hand import Hand, Violation
from simulation.windows import accept

from companion.services.files import PickedFile
from companion.state.screen import Screen
from engine.base.periods import iso_week
from engine.coach.page import CoachPage
from engine.coach.pain_lines import NO_PAIN
from engine.coach.roster import in_full
from engine.coach.withheld import PageChoice
from engine.movements.pain import is_pain
from storage.exchange.coach_page import read_page


async def save_page(hand: Hand) -> None:
    """Makes the page of some weeks; now and then keeps something back."""
    one = hand.owner
    if one is None or one.live is not None:
        return
    if not await hand.press(one.do.week.show(iso_week(one.do.opening.today()))):
        return
    if hand.often(0.3):
        await hand.press(one.do.week.step(hand.draw.choice((-1, -6))))
    choice = PageChoice()
    if hand.often(0.2):
        choice = PageChoice(pain=hand.often(0.5), notes=hand.often(0.5), loads=hand.often(0.5))
    one.state.week.choice = choice
    if await hand.press(one.do.week.save_page()):
        content = one.files.saved[-1].content
        page = read_page(content)
        _tells_all(page, hand.device.facts)
        if "pregnan" in page.model_dump_json().lower():
            raise Violation("the page tells of a pregnancy")
        week = one.state.week.name
        one.files.saved[-1] = PickedFile(f"{PAGE}{week}.html", content)
    _post(hand, one.files.saved)


def _tells_all(page: CoachPage, facts: Facts) -> None:
    """Every session of the weeks is on the page, with all pain unless that is kept back."""
    weeks, pain = set(page.weeks), page.choice.pain
    on_page = {one.record_id: one for one in page.sessions}
    for record in facts.kept["records"].values():
        if iso_week(record.local_date) not in weeks or (record.session.easy_movement and not pain):
            continue
        if ("records", record.id) in facts.maybe:
            continue
        if record.id not in on_page:
            raise Violation(f"session {record.id} is not on the page")
        if pain and on_page[record.id].pains != record.pains:
            raise Violation("pain of a session is not on the page")
        if not pain and (on_page[record.id].pains or on_page[record.id].sore):
            raise Violation("pain that was kept back is on the page")
    noted = {one.id for one in facts.kept["pain-notes"].values() if iso_week(one.local_date) in weeks}
    unsure = {key for part, key in facts.maybe if part == "pain-notes"}
    noted, told = noted - unsure, {one.id for one in page.pain_notes} - unsure
    if told != (noted if pain else set()):
        raise Violation(f"pain notes {sorted(noted)} were kept, {sorted(told)} are on the page")


async def read_pages(hand: Hand) -> None:
    """The coach reads pages that came, and says who hurts."""
    one = await _at_desk(hand)
    if one is None:
        return
    came = [page for page in hand.world.mail if page.name.startswith(PAGE)]
    if not came:
        return
    if hand.often(0.2):
        one.do.pages.clear()
    one.files.to_pick = hand.draw.sample(came, hand.draw.randint(1, len(came)))
    await hand.press(one.do.pages.take())
    _nobody_is_said_to_be_free_of_pain(one)


async def set_clock_at_desk(hand: Hand) -> None:
    """The coach's computer has a clock that is years ahead, or right again."""
    hand.world.desk.clock.off_ms = hand.draw.choice((0, 0, 400 * 86_400_000))


async def _at_desk(hand: Hand) -> Any:
    desk = hand.world.desk
    if not desk.windows:
        await desk.open_window()
        await accept(Hand(hand.world, desk, hand.draw))
    return desk.owner


def _nobody_is_said_to_be_free_of_pain(one: Any) -> None:
    pages = one.state.pages.pages
    for person in one.state.pages.people:
        theirs = [page for page in pages if page.trainee.id == person.trainee_id]
        hurts = any(
            page.pain_notes or any(is_pain(pain) for session in page.sessions for pain in session.pains)
            for page in theirs
        )
        if hurts and not person.hurts:
            raise Violation(f"the roster says of {person.name}, who hurts, that nothing does")
        if hurts and any(NO_PAIN in told.said for told in in_full(person)):
            raise Violation("“No pain was noted” is said of somebody whose page notes pain")


async def answer(hand: Hand) -> None:
    """The coach answers one person with an adjustment, which is handed over."""
    one = await _at_desk(hand)
    if one is None or not one.state.pages.people:
        return
    do = one.do.pages
    do.open_person(hand.draw.choice(one.state.pages.people).trainee_id)
    do.answer.sign("The coach")
    do.answer.for_days(str(hand.draw.choice((1, 7, 30))))
    for _ in range(hand.draw.randint(1, 2)):
        do.answer.add_change(**some_change(hand))
    made = one.state.pages.answer.made
    if made is None:
        raise Violation("an answer with a name and a change is not made")
    await do.answer.save(made)
    _post(hand, one.files.saved)
    if one.state.screen is Screen.cautions:
        raise Violation("the desk asks for the cautions")
