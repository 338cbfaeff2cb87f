"""What a person does for and in a session: choices, start, what happens on the way, log, late answers."""

from __future__ import annotations

from typing import Any

from simulation.hand import Hand, Violation
from simulation.promises import finished_as_promised, is_of_the_place, is_stopped, record_tells_all

from companion.state.screen import Screen
from engine.live.events import Ending
from engine.live.state import Status
from engine.live.timing import ends_at_ms, remaining_at
from engine.movements.movement import PAIRED_JOINTS, Equipment, Joint, Kit, Side
from engine.movements.pain import Advice, PainKind, PainQuality, PainQuestion
from engine.session.segment import BETWEEN
from engine.today.no_session import AboutPain

STEP_MS = 9_000
"""Less than the time after which a window takes itself for having slept."""
AFTER_CUE_MS = 50
THEN = {
    Advice.go_on: ("go_on", "without", "end"),
    Advice.ease: ("go_on", "without", "end"),
    Advice.retry_unloaded: ("try", "without", "end"),
    Advice.stop_movement: ("without", "end"),
    Advice.swap_and_leave_out: ("without", "end"),
}


def some_joint(hand: Hand) -> tuple[Joint, Side | None]:
    joint = hand.draw.choice((Joint.knee, Joint.knee, Joint.shoulder, Joint.low_back))
    return joint, hand.draw.choice((Side.left, Side.right)) if joint in PAIRED_JOINTS else None


async def choose(hand: Hand) -> None:
    """Minutes, dumbbells, what hurts, what the room lacks, and the plan."""
    one = hand.owner
    if one is None or one.live is not None:
        return
    if one.state.screen is not Screen.setup:
        await hand.press(one.do.go.setup())
    if one.state.screen is not Screen.setup:
        return
    do = one.do.setup
    do.set_minutes(hand.draw.choice((4, 6, 8, 10, 12)))
    if hand.often(0.3):
        await hand.press(do.choose_kit(hand.draw.choice(list(Kit)).value))
    if hand.often(0.25):
        joint, side = some_joint(hand)
        rating = hand.draw.choice((0, 0, 1, 2, 2, 3, 5, 7))
        if await hand.press(do.rate_sore(joint, side, rating)) and rating:
            told = {(sore.joint, sore.side): sore.rating for sore in one.state.body.sore}
            if told.get((joint, side), 0) < rating:
                raise Violation(f"pain {rating} in {joint} was said, and {told} counts")
    if hand.often(0.1):
        await hand.press(do.rate_sore_muscles(hand.draw.randrange(8)))
    if hand.often(0.1):
        await hand.press(do.toggle_absent(hand.draw.choice((Equipment.wall, Equipment.floor))))
    if hand.often(0.3):
        await hand.press(do.choose_plan(hand.draw.choice(one.state.plans.all).id))
    if hand.often(0.04):
        await hand.press(do.tell_illness(hand.often(0.5)))


async def start(hand: Hand) -> None:
    """Starts what fits; on a day without a session answers about the pain, and moves easily instead."""
    one = hand.owner
    if one is None or one.live is not None or one.state.screen is not Screen.setup:
        return
    if one.state.fit.no_session is not None:
        for about in AboutPain:
            await hand.press(one.do.setup.answer_about_pain(about, hand.often(0.1)))
        easy = one.state.fit.easy
        if easy is not None and easy.session is not None:
            await hand.press(one.do.setup.start_easy())
    elif one.state.fit.session is not None:
        alternatives = one.state.fit.offer.alternatives if one.state.fit.offer else ()
        if alternatives and hand.often(0.15):
            one.do.setup.pick(hand.draw.choice(alternatives).session)
        await hand.press(one.do.setup.start())
    if one.live is not None:
        hand.world.sessions += 1


async def let_pass(hand: Hand, ms: int) -> None:
    """Lets time pass, while the windows of this device look at the clock."""
    await hand.world.pass_ms(ms)
    for one in tuple(hand.device.windows):
        await hand.press(one.window.watch())


async def go_on(hand: Hand, segments: int) -> None:
    """Trains for a number of segments, to the millisecond after each; a self-paced item is ticked off."""
    for _ in range(segments * 40):
        one = hand.owner
        if one is None or one.live is None or one.live.state.status is not Status.running:
            return
        run, now_ms = one.live.state, one.do.session.session_ms()
        index, ends_ms = run.index, ends_at_ms(run)
        left_ms = remaining_at(run, now_ms) if ends_ms is None else ends_ms - now_ms
        await let_pass(hand, min(STEP_MS, max(0, left_ms) + AFTER_CUE_MS))
        await _tick(hand, left_ms)
        live = one.live
        if live is None or live.state.index != index:
            segments -= 1
            if segments <= 0:
                return


async def _tick(hand: Hand, left_ms: int) -> None:
    one = hand.owner
    if one is None or one.live is None:
        return
    run = one.live.state
    waits = run.status is Status.running and run.current is not None and ends_at_ms(run) is None
    if waits and left_ms <= STEP_MS:
        await hand.press(one.do.session.tick())


async def train(hand: Hand) -> None:
    await go_on(hand, hand.draw.choice((1, 1, 2, 3)))


async def pause(hand: Hand) -> None:
    one = hand.owner
    if one is None or one.live is None or one.live.state.status is not Status.running:
        return
    await hand.press(one.do.session.pause(), stops=True)
    is_stopped(one)
    await let_pass(hand, hand.draw.choice((500, 4_000, 8_000)))
    for _ in range(hand.draw.choice((0, 0, 1, 20, 80))):
        await let_pass(hand, STEP_MS)
    if one.live is not None and hand.often(0.9):
        await hand.press(one.do.session.resume())


async def on_the_way(hand: Hand) -> None:
    """One of the things that the screen of a session offers."""
    one = hand.owner
    if one is None or one.live is None or one.state.screen is not Screen.running:
        return
    do, run = one.do.session, one.live.state
    if run.status is not Status.running or run.current is None:
        return
    await hand.world.pass_ms(hand.draw.randrange(3_000))
    rests = run.current.kind in BETWEEN
    ways: list[Any] = [do.skip, do.skip, do.back, do.redo]
    ways += [do.more_rest] if rests else [do.form_slipped]
    if one.live.offered is not None:
        ways += [do.take_cut] * 4
    if do.finish_with_everything() is not None:
        ways += [do.keep_everything] * 4
    if do.swap.easier() is not None:
        ways += [do.swap.take_easier] * 2
    for missing in do.swap.needed():
        ways.append(lambda missing=missing: do.swap.do_without(missing))
    loaded = [s.movement for s in run.coming if s.movement and not s.kind.value.startswith("warm")]
    if loaded:
        slug, load_g = hand.draw.choice(loaded), hand.draw.choice((4_000, 6_000, 8_000))
        ways.append(lambda: do.set_load(slug, load_g))
    await hand.press(hand.draw.choice(ways)())


async def hurts(hand: Hand) -> None:
    """Something hurts: all stops, the questions are answered as they come, and the rules decide."""
    one = hand.owner
    if one is None or one.live is None or one.state.screen is not Screen.running:
        return
    if one.live.state.status not in (Status.running, Status.paused):
        return
    await hand.press(one.do.session.something_hurts(), stops=True)
    is_stopped(one)
    await answer_about_pain(hand)


async def answer_about_pain(hand: Hand) -> None:
    one = hand.owner
    if one is None or one.live is None or one.state.screen is not Screen.hurt:
        return
    do = one.do.hurt
    await hand.world.pass_ms(hand.draw.randrange(8_000))
    if hand.often(0.1) and one.state.run.pain is not None and not one.state.run.pain.after_try:
        await hand.press(do.not_hurt(), stops=True)
        return
    if hand.often(0.05):
        await hand.press(do.get_help(), stops=True)
    for _ in range(6):
        question = do.question()
        if question is None:
            break
        if question is PainQuestion.where:
            await hand.press(do.where(*some_joint(hand)), stops=True)
        elif question is PainQuestion.signs:
            if hand.often(0.2):
                await hand.press(do.sign(hand.draw.choice(list(PainQuality))), stops=True)
            else:
                await hand.press(
                    do.no_sign(hand.draw.choice((PainKind.joint, PainKind.joint, PainKind.muscle))),
                    stops=True,
                )
        else:
            await hand.press(do.rate(hand.draw.choice((0, 1, 1, 2, 2, 3, 4, 6, 8))), stops=True)
    await hand.press(do.describe(words=f"It pulled {hand.world.mark()}"), stops=True)
    said = do.advice()
    ways = THEN.get(said, ("end",)) if said is not None else ("end",)
    then = hand.draw.choice(ways)
    if then == "try" and not do.takes_weight():
        then = "without"
    note = one.state.run.pain
    before = len(one.live.state.pains)
    await hand.press(do.answer(then), stops=True)
    if one.live is not None and len(one.live.state.pains) != before + 1:
        raise Violation(f"pain that was answered is not in the session: {note}")


async def end_early(hand: Hand) -> None:
    one = hand.owner
    if one is None or one.live is None or one.live.state.status not in (Status.running, Status.paused):
        return
    if one.state.screen is not Screen.running:
        return
    await hand.press(one.do.session.pause(), stops=True)
    run = one.live.state
    if run.status is Status.paused and run.interval.stop != run.index + 1 and hand.often(0.4):
        await hand.press(one.do.session.end_with_both_sides())
        return
    await hand.press(one.do.session.end_early(), stops=True)
    is_stopped(one)
    if one.state.screen is Screen.log and hand.often(0.2):
        await hand.press(one.do.log.not_over(), stops=True)


async def finish(hand: Hand) -> None:
    """Trains to the end, whatever comes up on the way."""
    one = hand.owner
    runs = one is not None and one.live is not None and one.live.state.status is not Status.ended
    for _ in range(12):
        one = hand.owner
        if one is None or one.live is None:
            return
        if one.state.screen is Screen.hurt:
            await answer_about_pain(hand)
        status = one.live.state.status if one.live is not None else None
        if status is Status.ended and one.state.screen is not Screen.hurt:
            break
        if status is Status.paused and one.state.screen is Screen.running:
            await hand.press(one.do.session.resume())
        await go_on(hand, 400)
    if runs and one.live is not None and one.live.state.ending is Ending.finished:
        finished_as_promised(one)


async def log(hand: Hand) -> None:
    """Says what was otherwise than planned, and saves."""
    one = hand.owner
    if one is None or one.live is None or one.state.screen is not Screen.log:
        return
    if one.live.state.status is not Status.ended:
        raise Violation(f"the log is shown of a session that is {one.live.state.status}")
    do = one.do.log
    if hand.often(0.8):
        do.effort(hand.draw.randrange(21) / 2)
    do.note(f"It went {hand.world.mark()} today")
    sets = _sets_in_log(one)
    for done in sets:
        if hand.often(0.2):
            do.set(done.key, repetitions=hand.draw.randrange(12), form_held=hand.often(0.9))
    if sets and hand.often(0.4):
        done = hand.draw.choice(sets)
        do.reserve(done.movement, hand.draw.randrange(6))
        if done.dumbbells:
            do.set_load(done.movement, hand.draw.choice((4_000, 6_000, 8_000, 10_000)))
    live = one.live
    run_fact = hand.device.facts.run
    if await hand.press(do.save()):
        record_tells_all(hand.device.facts, live, run_fact)
        is_of_the_place(hand.device.facts, live.run_id, hand.device.zone)


def _sets_in_log(one: Any) -> Any:
    from engine.record.recording import sets_of

    return [s for s in sets_of(one.live.state, one.state.run.answers) if not s.is_hold]


async def late_answers(hand: Hand) -> None:
    """The effort again, soreness, and the joints on the morning after."""
    one = hand.owner
    if one is None or one.live is not None:
        return
    await hand.press(one.do.go.setup())
    asked = one.state.afterwards.asked
    if asked is None:
        return
    await hand.press(one.do.afterwards.show())
    do = one.do.afterwards
    if asked.asks_effort:
        do.say_effort(hand.draw.randrange(21) / 2)
    if asked.asks_soreness:
        do.say_soreness(hand.draw.randrange(8))
    for joint, side in asked.joints:
        if hand.often(0.8):
            do.say_morning_pain(joint, side, hand.draw.choice((0, 0, 1, 2, 4)))
    await hand.press(do.save())


async def correct(hand: Hand) -> None:
    """Opens a saved session and corrects it."""
    one = hand.owner
    records = sorted(hand.device.facts.kept["records"])
    if one is None or one.live is not None or not records:
        return
    if not await hand.press(one.do.go.week()):
        return
    if not await hand.press(one.do.record.open(hand.draw.choice(records))):
        return
    do = one.do.record
    do.correct_effort(hand.draw.randrange(21) / 2)
    if hand.often(0.5):
        do.correct_note(f"Corrected {hand.world.mark()} later")
    sets = [s for s in one.state.week.open_record.corrected.sets if not s.is_hold]
    if sets and hand.often(0.5):
        do.correct_set(hand.draw.choice(sets).key, repetitions=hand.draw.randrange(12))
    said = one.state.week.open_record.effort, one.state.week.open_record.note
    record_id = one.state.week.open_record.saved.id
    if await hand.press(do.save()):
        await hand.press(one.do.record.open(record_id))
        now = one.state.week.open_record
        if (now.effort, now.note) != said:
            raise Violation(f"a correction does not count: {said} was said, {now.effort, now.note} is shown")
        await hand.press(one.do.record.close())


async def note_pain(hand: Hand) -> None:
    """Says what hurts today and notes it for the coach, without a session."""
    one = hand.owner
    if one is None or one.live is not None:
        return
    await hand.press(one.do.go.setup())
    if one.state.screen is not Screen.setup:
        return
    joint, side = some_joint(hand)
    if await hand.press(one.do.setup.rate_sore(joint, side, hand.draw.choice((1, 2, 4, 6, 8)))):
        before = len(hand.device.facts.kept["pain-notes"])
        noted = one.do.setup.is_noted(joint, side)
        went = await hand.press(one.do.setup.note_joint(joint, side))
        kept = len(hand.device.facts.kept["pain-notes"]) > before or one.state.unsaved
        if went and not noted and not kept:
            raise Violation("pain that was noted is not kept")
