"""What a person picks, saves or copies, by way of the page: no path is ever asked for or kept."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, Protocol

import flet as ft


class PickedFile(NamedTuple):
    name: str
    content: bytes


class Files(Protocol):
    async def pick(self, *endings: str) -> PickedFile | None:
        """A file whose name ends in one of these ("json"); None where the person thought better of it."""
        ...

    async def pick_all(self, *endings: str) -> list[PickedFile]:
        """Any number of such files."""
        ...

    async def save(self, name: str, content: bytes) -> None:
        """Offers a file to be saved under a name. The browser puts it among its downloads."""
        ...

    async def copy(self, text: str) -> None:
        """Puts a text where the person can paste it from."""
        ...


class PageFiles:
    """Through Flet's picker on the page that is open."""

    def __init__(self, picker: ft.FilePicker, clipboard: ft.Clipboard) -> None:
        self._picker, self._clipboard = picker, clipboard

    async def pick(self, *endings: str) -> PickedFile | None:
        return next(iter(await self._picked(endings, many=False)), None)

    async def pick_all(self, *endings: str) -> list[PickedFile]:
        return await self._picked(endings, many=True)

    async def _picked(self, endings: Sequence[str], *, many: bool) -> list[PickedFile]:
        picked = await self._picker.pick_files(
            file_type=ft.FilePickerFileType.CUSTOM,
            allowed_extensions=list(endings),
            allow_multiple=many,
            with_data=True,
            cancel_upload_on_window_blur=False,  # or a slow dialog would count as called off
        )
        return [PickedFile(one.name, one.bytes or b"") for one in picked]

    async def save(self, name: str, content: bytes) -> None:
        await self._picker.save_file(file_name=name, src_bytes=content)

    async def copy(self, text: str) -> None:
        await self._clipboard.set(text)


class FilesInHand:
    """Gives what it was given and keeps what it is told to save: for tests, and where there is no page."""

    def __init__(self, to_pick: Sequence[PickedFile] = ()) -> None:
        self.to_pick = list(to_pick)
        self.saved: list[PickedFile] = []
        self.copied = ""

    async def pick(self, *endings: str) -> PickedFile | None:  # noqa: ARG002
        return self.to_pick.pop(0) if self.to_pick else None

    async def pick_all(self, *endings: str) -> list[PickedFile]:  # noqa: ARG002
        picked, self.to_pick = self.to_pick, []
        return picked

    async def save(self, name: str, content: bytes) -> None:
        self.saved.append(PickedFile(name, content))

    async def copy(self, text: str) -> None:
        self.copied = text
