"""Files that a person picks, saves or copies. The application never sees or keeps a path."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, Protocol

import flet as ft


class PickedFile(NamedTuple):
    """A file as the person picked it, by its name without a path."""

    name: str
    content: bytes


class Files(Protocol):
    """The way to a person's files and clipboard."""

    async def pick(self, *endings: str) -> PickedFile | None:
        """A file whose name ends in one of these, such as “json”; None where the person picked none."""
        ...

    async def pick_all(self, *endings: str) -> list[PickedFile]:
        """Any number of such files."""
        ...

    async def save(self, name: str, content: bytes) -> None:
        """Offers a file to save under a name. A browser puts it with its downloads."""
        ...

    async def copy(self, text: str) -> None:
        """Puts a text on the clipboard."""
        ...


class PageFiles:
    """Files through Flet's picker and clipboard on an open page."""

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
            cancel_upload_on_window_blur=False,  # or Flet would take a slow dialog for a cancelled one
        )
        return [PickedFile(one.name, one.bytes or b"") for one in picked]

    async def save(self, name: str, content: bytes) -> None:
        await self._picker.save_file(file_name=name, src_bytes=content)

    async def copy(self, text: str) -> None:
        await self._clipboard.set(text)


class FilesInHand:
    """Gives what it was given and keeps what it is told to save, before a window has a page and in tests."""

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
