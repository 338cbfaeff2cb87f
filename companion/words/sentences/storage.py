"""What is wrong with what is saved, or could not be saved or copied."""

from __future__ import annotations

from companion.words.plural import Sentences

PROBLEMS: Sentences = {
    "storage_disk_full": "The disk is full: “{where}” was not saved. What was saved before is still there.",
    "storage_read_only": "“{where}” could not be saved because its disk or folder can only be read.",
    "storage_not_permitted": "You may not open or change “{where}”: check the permissions of its folder.",
    "storage_disk_fault": "“{where}” could not be read or saved ({detail}).",
    "storage_damaged": "“{where}” is damaged and cannot be read.",
    "storage_browser_full": (
        "There is no room left for this page, so this was not saved: save a backup, then clear some space."
    ),
    "storage_browser_refuses": (
        "This browser keeps nothing for this page: open it in an ordinary window, not a private one, or save "
        "a backup before you close it."
    ),
    "storage_browser_fault": (
        "The browser could not read or save this ({detail}): save a backup, then open the page again."
    ),
    "storage_held_open": "Another window of this page keeps the records open: close it.",
    "storage_browser_newer": (
        "A newer version of this page saved your records in this browser, and this older one cannot read "
        "them. Nothing was changed: once the newer version is back, your records are there again."
    ),
    "storage_folder_full": "There is no room left for a copy in the folder “{where}”.",
    "storage_folder_gone": "The folder “{where}” is not there any more: choose one again.",
    "storage_folder_lapsed": "The browser does not let this page write into the folder “{where}” now.",
    "storage_folder_no_tap": "The browser asks only right after a tap: press the button once more.",
    "storage_folder_fault": (
        "The copy in the folder “{where}” could not be written or read ({detail}). What was there before is "
        "still there."
    ),
    "storage_folder_away": "The page did not answer, so no copy was written.",
    "storage_folder_stranger": "The application was started again: load this page again, then copies go on.",
    "storage_newer": "“{where}” was written by a newer version ({detail}). It was left as it is.",
    "storage_newer_records": (
        "A newer version of the companion wrote “{where}”, and this older one cannot read it. Nothing was "
        "changed: open these records with the newer version, and they are all there."
    ),
    "storage_not_understood": "“{where}” holds what this version cannot read. It was left as it is.",
    "storage_not_ours": "“{where}” holds none of the companion’s files. Nothing was erased.",
    "storage_not_owner": "Another window or program is using these files: this one only reads.",
    "storage_another_computer": (
        "The computer “{where}” has these files open, or ended without closing them: close them there first, "
        "or open them here in the application and take them over."
    ),
    "storage_already_saved": "“{where}” is saved already with other content: add a correction instead.",
    "storage_no_such_record": "There is no session “{where}”.",
    "storage_run_in_progress": "A session is still in progress: finish or end it first.",
    "storage_no_run": "No session is in progress.",
    "storage_no_profile": "Nobody has trained here yet: there is no profile.",
}
"""By the cause of a ``StorageProblem``."""

SENTENCES: Sentences = {
    **PROBLEMS,
    "file_damaged": (
        "“{file}” is damaged, and there is no sound copy of it: a backup or another device may still have it."
    ),
    "file_missing": (
        "“{file}” is missing, and there is no sound copy of it: a backup or another device may still have it."
    ),
    "file_damaged_before_used": "“{file}” is damaged, so the copy from before its last change is used.",
    "file_missing_before_used": "“{file}” is missing, so the copy from before its last change is used.",
    "damaged_file_set_aside": "The damaged file is kept as “{aside}”.",
    "run_damaged": "The session in progress is damaged from its beginning.",
    "run_damaged_after": "The session in progress is damaged after step {step}.",
    "file_not_there_yet": "“{file}” has not come yet: what that device wrote waits for it.",
    "file_unreadable": "“{file}” was left out: it cannot be read.",
    "file_of_somebody_else": "“{file}” was left out: it holds the records of somebody else, {name}.",
    "made_by_on_another_device": "These records were made by {name} on another device.",
    "made_on_another_device": "These records were made on another device.",
    "session_gone": "This session was erased.",
    "name_too_short_or_long": "A name has 1 to {most} letters.",
    "name_trains_here": "{name} trains here already: add something to tell the two apart.",
}
