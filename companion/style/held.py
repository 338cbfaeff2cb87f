"""What a store, a backup or a shared folder holds, and what is there in two versions."""

from __future__ import annotations

from typing import TYPE_CHECKING

from companion.words.saying import msgid, say, several, words_here

if TYPE_CHECKING:
    from storage.exchange.backup import Holdings
    from storage.exchange.merge import Conflict

IN_TWO_VERSIONS = {
    "profiles": msgid("In two versions: the profile. Yours stays for now."),
    "kits": msgid("In two versions: the kit. Yours stays for now."),
    "plans": msgid("In two versions: the plan “{name}”. Yours stays for now."),
    "records": msgid("In two versions: the session “{name}”. Yours stays for now."),
    "amendments": msgid("In two versions: the correction “{name}”. Yours stays for now."),
    "week_notes": msgid("In two versions: the note on week {name}. Yours stays for now."),
    "adjustments": msgid("In two versions: the adjustment “{name}”. Yours stays for now."),
    "pain_notes": msgid("In two versions: the pain note “{name}”. Yours stays for now."),
}
NAMED = {
    "profiles": msgid("profile “{name}”"),
    "kits": msgid("kit"),
    "plans": msgid("plan “{name}”"),
    "records": msgid("session"),
    "amendments": msgid("correction"),
    "week_notes": msgid("notes on the week {name}"),
    "adjustments": msgid("request of a coach"),
    "pain_notes": msgid("pain note"),
}
TITLES = {
    "profiles": msgid("Profile “{name}”"),
    "kits": msgid("Kit"),
    "plans": msgid("Plan “{name}”"),
    "records": msgid("Session"),
    "amendments": msgid("Correction"),
    "week_notes": msgid("Notes on the week {name}"),
    "adjustments": msgid("Request of a coach"),
    "pain_notes": msgid("Pain note"),
}


def held_words(held: Holdings) -> str:
    """“1 profile, 1 kit and 2 sessions”, less the empty parts."""
    counted = [_counted(name, len(part)) for name, part in held._asdict().items() if part]
    return words_here().listed(counted or [say("nothing")])


def conflict_words(conflict: Conflict) -> str:
    """That something is there in two versions; the profile and the kit are known without a name."""
    return say(IN_TWO_VERSIONS[conflict.part], name=_name(conflict))


def named_words(conflict: Conflict) -> str:
    """What differs, to stand in a list: “plan “Evening””."""
    return say(NAMED[conflict.part], name=_name(conflict))


def title_words(conflict: Conflict) -> str:
    """The same as a title."""
    return say(TITLES[conflict.part], name=_name(conflict))


def _name(conflict: Conflict) -> str:
    return getattr(conflict.ours, "name", "") or conflict.key


def _counted(part: str, count: int) -> str:
    match part:
        case "profiles":
            return several("{count} profile", "{count} profiles", count)
        case "kits":
            return several("{count} kit", "{count} kits", count)
        case "plans":
            return several("{count} plan", "{count} plans", count)
        case "records":
            return several("{count} session", "{count} sessions", count)
        case "amendments":
            return several("{count} correction", "{count} corrections", count)
        case "week_notes":
            return several("{count} note on a week", "{count} notes on weeks", count)
        case "adjustments":
            return several("{count} adjustment", "{count} adjustments", count)
        case "pain_notes":
            return several("{count} pain note", "{count} pain notes", count)
        case _:
            return several("{count} id of what was erased", "{count} ids of what was erased", count)
