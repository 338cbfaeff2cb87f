"""The person and the look of this device. Each change is saved at once."""

from __future__ import annotations

from datetime import date

from companion.actions.context import Context
from companion.actions.fitting import fit_and_show
from companion.actions.home.backup import Backup
from companion.actions.home.copies import Copies
from companion.actions.home.report import Report
from companion.state.screen import Screen
from companion.words.saying import msgid, say
from engine.base.model import LONGEST_NAME
from engine.base.printable import printable_line
from engine.base.units import LoadUnit
from engine.record.profile import UNNAMED, Birth, ProfileFlag, WeekSaid
from storage.models import KitOwned
from storage.trainees import new_name

NAME_YOURSELF = msgid("Write your own name above first, so that the two of you can be told apart.")


class Settings:
    def __init__(self, context: Context, backup: Backup) -> None:
        self._context, self.backup, self.report = context, backup, Report(context)
        self.copies = Copies(context)
        self.set_device = context.set_device

    async def show(self) -> None:
        state = self._context.state
        state.said = state.device.report = ""
        await self.backup.look()
        self._context.show(Screen.settings)

    async def rename(self, name: str) -> None:
        """Changes the name if it has 1 to 120 characters; until then only the field holds it."""
        seen = printable_line(name).strip()
        if 0 < len(seen) <= LONGEST_NAME:
            await self._change_profile(name=seen)

    async def set_unit(self, unit: str) -> None:
        await self._change_profile(unit=LoadUnit(unit))
        self._context.state.on_change()

    async def toggle_flag(self, flag: ProfileFlag) -> None:
        """Says that something holds for the person, or no longer does; the next fit takes it into account."""
        flags = set(self._context.profile().flags) ^ {flag}
        gone: dict[str, None] = {} if ProfileFlag.pregnant in flags else {"pregnancy": None}
        gone |= {} if ProfileFlag.after_birth in flags else {"birth": None}
        await self._change_body(flags=tuple(one for one in ProfileFlag if one in flags), **gone)

    async def say_week(self, week: int) -> None:
        """The week of pregnancy as it is today."""
        today = self._context.now().date()
        await self._change_body(pregnancy=WeekSaid(week=week, said_on=today))

    async def say_birth(self, birth: Birth) -> None:
        await self._change_body(birth=birth)

    async def add_trainee(self, name: str) -> None:
        """Lets somebody else train here, with records of their own and the weights that are at home.

        Raises ValueError with one sentence where the two names could not be told apart.
        """
        household = self._context.household
        names = await household.names()
        if UNNAMED in names:
            raise ValueError(say(NAME_YOURSELF))
        seen = new_name(name, names)
        owned = await self._context.store.person.kit() or KitOwned()
        await household.add(seen, lambda store: store.person.save_kit(owned))

    def today(self) -> date:
        """The local date."""
        return self._context.now().date()

    async def _change_body(self, **changes: object) -> None:
        """Fits before it saves, because it is about what may harm."""
        self._context.state.home.profile = self._context.profile().model_copy(update=changes)
        fit_and_show(self._context)
        await self._context.keep_profile()

    async def _change_profile(self, **changes: object) -> None:
        self._context.state.home.profile = self._context.profile().model_copy(update=changes)
        await self._context.keep_profile()
