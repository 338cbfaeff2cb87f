"""What the screen of the cues says about a device."""

from __future__ import annotations

from companion.services.page_messages import Capabilities
from companion.views.home import cues


def test_what_a_device_cannot_do_is_said_plainly() -> None:
    bare = Capabilities(vibrate=False, audio="none", voice="none", wake_lock=False)
    assert list(cues.on_this_device(bare)) == [
        cues.NO_TOUCH,
        cues.NO_TONE,
        cues.SPOKEN_BY["none"],
        cues.NO_LIGHT,
    ]
    full = Capabilities(vibrate=True, audio="running", voice="device", wake_lock=True)
    assert list(cues.on_this_device(full)) == [cues.MAYBE_TOUCH, cues.SPOKEN_BY["device"], cues.ALWAYS]
    assert list(cues.on_this_device(None)) == [cues.NO_ANSWER]
