"""Every action of a person, and how somebody comes to it: one row each."""

from __future__ import annotations

import json
from collections.abc import Awaitable, Callable
from datetime import timedelta
from typing import NamedTuple

import builders
from builders import HAND, STARTED_AT
from pages import page
from somebody import PLAN, WEEK, Person

from companion.paper.coach_page import page_html
from companion.services.clock import read
from companion.services.files import PickedFile
from engine.base.model import revision_of
from engine.live.cues import CueKind
from engine.movements.movement import Equipment, Joint, Kit, Side
from engine.movements.own_choice import Occasion
from engine.movements.pain import PainKind, PainQuality
from engine.plan.adjustment import Adjustment
from engine.plan.draft import Put
from engine.plan.plan import SessionPlan
from engine.record.profile import Birth, ProfileFlag
from engine.record.record import Record
from engine.today.no_session import AboutPain
from storage.exchange.backup import Holdings, write_backup
from storage.models import KitOwned, Tombstone
from storage.store import Store

Act = Callable[[Person], Awaitable[object]]
BEGAN = STARTED_AT + timedelta(days=1)
OTHER = builders.plan(id="another-plan", name="Another plan", author="Ines Okonjo")
THIRD = builders.plan(id="third-plan", name="Third plan")
ASKED = builders.adjustment(changes=({"kind": "remark", "text": "Slowly, please."},))
KNEE = (Joint.knee, Side.left)
DUMBBELL = KitOwned(dumbbells=Kit.pair)


def held() -> Record:
    return builders.record(record_id="day-0", loads_g={HAND.slug: 8_000}, effort=6)


def elsewhere() -> Holdings:
    """What a backup holds: the same person, one session more, ours of yesterday erased, another kit."""
    return Holdings(
        profiles=(builders.profile(cautions_read_at=STARTED_AT),),
        kits=(KitOwned(dumbbells=Kit.single),),
        plans=(THIRD,),
        records=(builders.record(record_id="day-7", started_at=STARTED_AT - timedelta(days=7)),),
        tombstones=(Tombstone(record_id="day-0", erased_at=STARTED_AT),),
    )


async def fill(store: Store) -> None:
    """What there is before an action: a person with plans, weights, a session, and what a coach asked."""
    await store.person.save_profile(builders.profile(cautions_read_at=STARTED_AT))
    await store.person.save_kit(DUMBBELL)
    await store.plans.save(PLAN, OTHER)
    await store.sessions.save(held())
    await store.person.save_adjustment(builders.adjustment(until=(BEGAN + timedelta(days=3)).date()))


class Row(NamedTuple):
    """An action, and what comes before it. ``from_nothing`` starts where nobody has trained yet.

    ``again`` is what somebody does where it was refused; it is the action itself where nothing is said.
    """

    act: Act
    ready: tuple[Act, ...] = ()
    from_nothing: bool = False
    again: Act | None = None


def plain(say: Callable[[Person], object]) -> Act:
    """What is said without a write."""

    async def act(person: Person) -> None:
        say(person)

    return act


def _pick(name: str, content: bytes, then: Act) -> Act:
    async def act(person: Person) -> None:
        person.files.to_pick[:] = [PickedFile(name, content)]
        await then(person)

    return act


def _changed_plan(plan: SessionPlan) -> SessionPlan:
    return plan.model_copy(update={"name": f"{plan.name}, changed"})


async def _look_at_week(person: Person) -> None:
    await person.do.week.show(WEEK)


async def _ask_in_week(person: Person) -> None:
    await person.do.week.add_question()
    await person.do.week.write_question(len(person.state.week.in_view.questions) - 1, "Slower?")


async def _adjust(person: Person) -> None:
    person.do.adjustment.look_at(Adjustment.model_validate(ASKED.model_dump()))


async def _rack(person: Person) -> None:
    await person.do.kit.add_weight("8")
    await person.do.kit.add_bell("2")
    await person.do.kit.add_plates(0, "1.25")


async def _start(person: Person) -> None:
    await person.do.setup.choose_kit(Kit.pair)
    person.do.setup.set_minutes(14)
    await person.do.session.start()
    await person.later(30)


async def _hurts(person: Person) -> None:
    await person.do.session.something_hurts()
    await person.do.hurt.describe(kind=PainKind.joint, joint=Joint.knee, side=Side.left, rating=2)


async def _open_again(person: Person) -> None:
    person.context.samples = lambda: (PLAN,)
    await person.do.opening.open()


async def _pain_too_high(person: Person) -> None:
    await person.do.setup.rate_sore(*KNEE, 8)


async def _all_answered(person: Person) -> None:
    await _pain_too_high(person)
    for about in AboutPain:
        await person.do.setup.answer_about_pain(about, False)


async def _correct(person: Person) -> None:
    record = person.do.record
    record.correct_effort(8)
    record.correct_note("Heavier than it looked.")
    record.correct_set(person.state.week.open_record.saved.sets[0].key, effort=8)


async def _save_or_look(person: Person) -> None:
    """Saves the log, or looks at its week where only that was refused."""
    if person.state.run.live is not None:
        await person.do.log.save()
    else:
        await _look_at_week(person)


async def _late_answers(person: Person) -> None:
    afterwards = person.do.afterwards
    await afterwards.show()
    afterwards.say_effort(7)
    afterwards.say_soreness(3)
    afterwards.say_morning_pain(*KNEE, 2)


async def _desk(person: Person) -> None:
    await person.do.desk.write_plan(PLAN)


async def _desk_changed(person: Person) -> None:
    await _desk(person)
    await person.do.desk.edit.write(Put(("transition_s",), 45))


async def _circuit(person: Person) -> None:
    await _desk(person)
    person.do.desk.open_part(("blocks", 0))


async def _choose_folder(person: Person) -> None:
    await person.do.settings.copies.choose()


async def _take_the_other_kit(person: Person) -> None:
    (other,) = elsewhere().kits
    await person.do.differences.decide(revision_of(other), "theirs")


WEEK_SHOWN, RUNNING, HURT = (_look_at_week,), (_start,), (_start, _hurts)
RECORD: tuple[Act, ...] = (_look_at_week, lambda p: p.do.record.open("day-0"))
DESK, CHANGED = (_desk,), (_desk_changed,)
WORK_PLACE = ("blocks", 0, "movements", 0)
LOG = (_start, lambda p: p.do.session.end_early())

ROWS: dict[str, Row] = {
    "Afterwards.show": Row(lambda p: p.do.afterwards.show()),
    "Afterwards.save": Row(lambda p: p.do.afterwards.save(), (_late_answers,)),
    "Log.save": Row(lambda p: p.do.log.save(), LOG, again=_save_or_look),
    "Record.open": Row(lambda p: p.do.record.open("day-0"), WEEK_SHOWN),
    "Record.save": Row(lambda p: p.do.record.save(), (*RECORD, _correct)),
    "Record.close": Row(lambda p: p.do.record.close(), RECORD),
    "Week.show": Row(_look_at_week),
    "Week.step": Row(lambda p: p.do.week.step(-1), WEEK_SHOWN, again=lambda p: p.do.week.show("2026-W09")),
    "Week.say_all_activity_logged": Row(lambda p: p.do.week.say_all_activity_logged(True), WEEK_SHOWN),
    "Week.write_question": Row(lambda p: p.do.week.write_question(0, "Why?"), (_look_at_week, _ask_in_week)),
    "Week.add_question": Row(_ask_in_week, WEEK_SHOWN),
    "Week.drop_question": Row(lambda p: p.do.week.drop_question(0), (_look_at_week, _ask_in_week)),
    "Week.save_page": Row(lambda p: p.do.week.save_page(), WEEK_SHOWN),
    "Context.undo": Row(lambda p: p.context.undo(), (lambda p: p.do.plans.remove(OTHER),)),
    "Context.set_device": Row(lambda p: p.do.cues.set_device(haptic=False, volume=0.5)),
    "Desk.write_plan": Row(lambda p: p.do.desk.write_plan(PLAN)),
    "Desk.go_on_writing": Row(
        lambda p: p.do.desk.go_on_writing(p.state.desk.unfinished[PLAN.id]),
        (*CHANGED, lambda p: p.do.desk.leave()),
    ),
    "Desk.save": Row(lambda p: p.do.desk.save(), CHANGED),
    "Desk.clear": Row(lambda p: p.do.desk.clear(), CHANGED),
    "Desk.leave": Row(lambda p: p.do.desk.leave(), CHANGED),
    "DeskEdits.write": Row(lambda p: p.do.desk.edit.write(Put(("transition_s",), 50)), DESK),
    "DeskEdits.add_block": Row(lambda p: p.do.desk.edit.add_block("work"), DESK),
    "DeskEdits.add_movement": Row(lambda p: p.do.desk.edit.add_movement(HAND.slug), (_circuit,)),
    "DeskEdits.add_substitute": Row(
        lambda p: p.do.desk.edit.add_substitute(WORK_PLACE, Occasion.no_dumbbells), (_circuit,)
    ),
    "DeskEdits.add_allowance": Row(lambda p: p.do.desk.edit.add_allowance("extra_rounds"), DESK),
    "DeskEdits.add_own_movement": Row(
        lambda p: p.do.desk.edit.add_own_movement("goblet-squat", "Squat at the wall"), (_circuit,)
    ),
    "DeskEdits.insert": Row(lambda p: p.do.desk.edit.insert(("stop_rules",), "Stop at pain."), DESK),
    "DeskEdits.move": Row(lambda p: p.do.desk.edit.move(WORK_PLACE[:3], 0, 1), (_circuit,)),
    "DeskEdits.remove": Row(lambda p: p.do.desk.edit.remove(WORK_PLACE[:3], 0), (_circuit,)),
    "DeskEdits.take_back": Row(lambda p: p.do.desk.edit.take_back(), CHANGED),
    "DeskEdits.write_again": Row(
        lambda p: p.do.desk.edit.write_again(), (*CHANGED, lambda p: p.do.desk.edit.take_back())
    ),
    "DeskEdits.save": Row(lambda p: p.do.desk.edit.save(p.do.desk.edit.plan), CHANGED),
    "HandOver.set_base_address": Row(
        lambda p: p.do.desk.hand_over.set_base_address("https://rowing.example/app/"), DESK
    ),
    "Adjustment.take": Row(lambda p: p.do.adjustment.take(), (_adjust,)),
    "Backup.look": Row(lambda p: p.do.settings.backup.look()),
    "Backup.save": Row(lambda p: p.do.settings.backup.save()),
    "Backup.pick": Row(
        _pick("backup.json", write_backup(elsewhere()), lambda p: p.do.settings.backup.pick())
    ),
    "Backup.bring_in_mine": Row(
        lambda p: p.do.settings.backup.bring_in_mine(), (plain(lambda p: _put_in_hand(p)),)
    ),
    "Backup.spare": Row(lambda p: p.do.settings.backup.spare(), (plain(lambda p: _put_in_hand(p)),)),
    "Backup.erase_too": Row(lambda p: p.do.settings.backup.erase_too(), (plain(lambda p: _put_in_hand(p)),)),
    "Differences.decide": Row(
        _take_the_other_kit,
        (_pick("backup.json", write_backup(elsewhere()), lambda p: p.do.settings.backup.pick()),),
    ),
    "Backup.erase_everything": Row(lambda p: p.do.settings.backup.erase_everything()),
    "Copies.choose": Row(_choose_folder),
    "Copies.write": Row(lambda p: p.do.settings.copies.write(), (_choose_folder,)),
    "Copies.take_in": Row(lambda p: p.do.settings.copies.take_in(), (_choose_folder,)),
    "Copies.take_in_mine": Row(lambda p: p.do.settings.copies.take_in_mine(), (_choose_folder,)),
    "Copies.leave_theirs": Row(lambda p: p.do.settings.copies.leave_theirs(), (_choose_folder,)),
    "Copies.stop": Row(lambda p: p.do.settings.copies.stop(), (_choose_folder,)),
    "Kit.show": Row(lambda p: p.do.kit.show()),
    "Kit.toggle_absent": Row(lambda p: p.do.kit.toggle_absent(Equipment.wall)),
    "Kit.count_weight": Row(lambda p: p.do.kit.count_weight(8_000, 0), (_rack,)),
    "Kit.add_weight": Row(lambda p: p.do.kit.add_weight("12"), (_rack,)),
    "Kit.add_bell": Row(lambda p: p.do.kit.add_bell("3"), (_rack,)),
    "Kit.count_bars": Row(lambda p: p.do.kit.count_bars(0, 2), (_rack,)),
    "Kit.remove_bell": Row(lambda p: p.do.kit.remove_bell(0), (_rack,)),
    "Kit.add_plates": Row(lambda p: p.do.kit.add_plates(0, "5"), (_rack,)),
    "Kit.count_plates": Row(lambda p: p.do.kit.count_plates(0, 1_250, 2), (_rack,)),
    "Opening.open": Row(_open_again),
    "Opening.move_to": Row(lambda p: p.do.opening.move_to("Europe/Oslo")),
    "Opening.look_elsewhere": Row(lambda p: p.do.opening.look_elsewhere()),
    "Opening.come_back": Row(lambda p: p.do.opening.come_back(read(p.clock)), RUNNING),
    "Opening.accept_cautions": Row(
        lambda p: p.do.opening.accept_cautions((ProfileFlag.novice,)), (_open_again,), from_nothing=True
    ),
    "Plans.show": Row(lambda p: p.do.plans.show()),
    "Plans.take": Row(lambda p: p.do.plans.take(OTHER.id)),
    "Plans.save": Row(lambda p: p.do.plans.save(_changed_plan(OTHER))),
    "Plans.save, the first": Row(lambda p: p.do.plans.save(THIRD), (_open_again,), from_nothing=True),
    "Plans.remove": Row(lambda p: p.do.plans.remove(OTHER)),
    "Plans.remove, a sample": Row(lambda p: p.do.plans.remove(PLAN), (_open_again,), from_nothing=True),
    "Plans.remove_adjustment": Row(lambda p: p.do.plans.remove_adjustment(p.state.plans.adjustments[0])),
    "Plans.bring_samples_back": Row(
        lambda p: p.do.plans.bring_samples_back(), (lambda p: p.do.plans.remove(PLAN),)
    ),
    "Settings.show": Row(lambda p: p.do.settings.show()),
    "Settings.rename": Row(lambda p: p.do.settings.rename("Runa Dahl")),
    "Settings.set_unit": Row(lambda p: p.do.settings.set_unit("lb")),
    "Settings.toggle_flag": Row(lambda p: p.do.settings.toggle_flag(ProfileFlag.pregnant)),
    "Settings.say_week": Row(
        lambda p: p.do.settings.say_week(20), (lambda p: p.do.settings.toggle_flag(ProfileFlag.pregnant),)
    ),
    "Settings.say_birth": Row(
        lambda p: p.do.settings.say_birth(Birth(on=STARTED_AT.date() - timedelta(weeks=12))),
        (lambda p: p.do.settings.toggle_flag(ProfileFlag.after_birth),),
    ),
    "Settings.add_trainee": Row(lambda p: p.do.settings.add_trainee("Ailo")),
    "Session.watch": Row(lambda p: p.later(70), RUNNING),
    "Session.start": Row(_start, (_open_again,)),
    "Session.pause": Row(lambda p: p.do.session.pause(), RUNNING),
    "Session.resume": Row(lambda p: p.do.session.resume(), (*RUNNING, lambda p: p.do.session.pause())),
    "Session.tick": Row(lambda p: p.do.session.tick(), RUNNING),
    "Session.hold": Row(lambda p: p.do.session.hold(True), RUNNING),
    "Session.skip": Row(lambda p: p.do.session.skip(), RUNNING),
    "Session.back": Row(lambda p: p.do.session.back(), RUNNING),
    "Session.redo": Row(lambda p: p.do.session.redo(), RUNNING),
    "Session.more_rest": Row(lambda p: p.do.session.more_rest(), (*RUNNING, lambda p: p.later(50))),
    "Session.form_slipped": Row(lambda p: p.do.session.form_slipped(), RUNNING),
    "Session.something_hurts": Row(lambda p: p.do.session.something_hurts(), RUNNING),
    "Session.keep_everything": Row(lambda p: p.do.session.keep_everything(), RUNNING),
    "Session.take_cut": Row(lambda p: p.do.session.take_cut(), RUNNING),
    "Session.end_with_both_sides": Row(lambda p: p.do.session.end_with_both_sides(), RUNNING),
    "Session.end_early": Row(lambda p: p.do.session.end_early(), RUNNING),
    "Session.not_over": Row(
        lambda p: p.do.session.not_over(), (*RUNNING, lambda p: p.do.session.end_early())
    ),
    "Session.set_load": Row(lambda p: p.do.session.set_load(HAND.slug, 8_000), RUNNING),
    "Hurt.answer, go on": Row(lambda p: p.do.hurt.answer("go_on"), HURT),
    "Hurt.answer": Row(lambda p: p.do.hurt.answer("without"), HURT),
    "Hurt.answer, end": Row(lambda p: p.do.hurt.answer("end"), HURT),
    "Hurt.where": Row(lambda p: p.do.hurt.where(Joint.hip, Side.left), HURT),
    "Hurt.it_was": Row(lambda p: p.do.hurt.it_was(p.state.run.pain_note.movement), HURT),
    "Hurt.sign": Row(lambda p: p.do.hurt.sign(PainQuality.sharp), HURT),
    "Hurt.no_sign": Row(lambda p: p.do.hurt.no_sign(PainKind.muscle), HURT),
    "Hurt.rate": Row(lambda p: p.do.hurt.rate(4), HURT),
    "Hurt.has_gone": Row(lambda p: p.do.hurt.has_gone(), HURT),
    "Hurt.get_help": Row(lambda p: p.do.hurt.get_help(), HURT),
    "Hurt.back": Row(lambda p: p.do.hurt.back(), HURT),
    "Hurt.not_hurt": Row(lambda p: p.do.hurt.not_hurt(), HURT),
    "Swap.take_easier": Row(lambda p: p.do.session.swap.take_easier(), RUNNING),
    "Swap.do_without": Row(lambda p: p.do.session.swap.do_without(Equipment.floor), RUNNING),
    "Setup.show": Row(lambda p: p.do.setup.show(), WEEK_SHOWN),
    "Setup.home_screen_read": Row(lambda p: p.do.setup.home_screen_read()),
    "Setup.save_backup": Row(lambda p: p.do.setup.save_backup()),
    "Setup.choose_plan": Row(lambda p: p.do.setup.choose_plan(OTHER.id)),
    "Setup.choose_kit": Row(lambda p: p.do.setup.choose_kit(Kit.single)),
    "Setup.toggle_absent": Row(lambda p: p.do.setup.toggle_absent(Equipment.bench)),
    "Setup.rate_sore": Row(lambda p: p.do.setup.rate_sore(*KNEE, 4)),
    "Setup.rate_sore_muscles": Row(lambda p: p.do.setup.rate_sore_muscles(5)),
    "Setup.tell_pressure": Row(lambda p: p.do.setup.tell_pressure(True)),
    "Setup.tell_illness": Row(lambda p: p.do.setup.tell_illness(True)),
    "Setup.answer_about_pain": Row(
        lambda p: p.do.setup.answer_about_pain(AboutPain.urgent_signs, False), (_pain_too_high,)
    ),
    "Setup.start_easy": Row(lambda p: p.do.setup.start_easy(), (_all_answered,)),
    "Setup.note_joint": Row(lambda p: p.do.setup.note_joint(*KNEE), (_pain_too_high,)),
}

NO_STORE: dict[str, Row] = {
    "AnswerEdits.save": Row(lambda p: p.do.pages.answer.save(ASKED)),
    "AnswerEdits.copy": Row(lambda p: p.do.pages.answer.copy(ASKED)),
    "Context.set_mix": Row(lambda p: p.context.set_mix()),
    "Cues.show": Row(lambda p: p.do.cues.show()),
    "Cues.try_out": Row(lambda p: p.do.cues.try_out(CueKind.work)),
    "DeskEdits.work_out_figures": Row(lambda p: p.do.desk.edit.work_out_figures(p.do.desk.edit.plan), DESK),
    "HandOver.save_sheet": Row(lambda p: p.do.desk.hand_over.save_sheet(), DESK),
    "HandOver.save_qr": Row(lambda p: p.do.desk.hand_over.save_qr("https://rowing.example/#a"), DESK),
    "HandOver.copy_link": Row(lambda p: p.do.desk.hand_over.copy_link("https://rowing.example/#a"), DESK),
    "Pages.take": Row(_pick("page.html", page_html(page((held(),))).encode(), lambda p: p.do.pages.take())),
    "Pages.take_dropped": Row(lambda p: p.do.pages.take_dropped(1)),
    "Plans.open_file": Row(
        _pick(
            "plan.json", json.dumps(THIRD.model_dump(mode="json")).encode(), lambda p: p.do.plans.open_file()
        )
    ),
    "Plans.export": Row(lambda p: p.do.plans.export(PLAN)),
    "Report.save": Row(lambda p: p.do.settings.report.save()),
}
"""Actions that need no store: they work whatever it says."""

THROUGH = {
    "Go.": "each shows a screen with the action of that screen",
    "Finish.": "every action of a session in progress",
    "Run.": "every action of a session in progress",
    "Writing.": "every action of a session in progress",
    "Opening.ask_who": "window.who_trains",
    "Keeping.": "every action that keeps the latest word",
    "Hurt.stop": "Session.something_hurts",
    "Hurt.ask_after_try": "Session.watch",
    "Hurt.describe": "every answer about pain",
    "Context.keep_": "every action that changes profile or settings",
    "Backup.bring_in": "Backup.pick and the answers to its questions",
    "OnePerson.": "nobody else trains",
    "Household.": "window.who_trains",
}
"""What has no row of its own, with the rows that go through it."""


def _put_in_hand(person: Person) -> None:
    person.state.backup.picked = elsewhere()
