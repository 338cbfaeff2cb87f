"""The coach's desk: a plan is written, its faults stand at their place, it is kept and handed over."""

from pathlib import Path

import pytest
from flet_client import FletClient, window_on

from companion.samples import sample_plans
from companion.views.desk.hand_over import NO_ADDRESS
from companion.views.desk.minutes import NO_FIGURES
from engine.base.reading import read
from engine.plan.link import read_link
from engine.plan.plan import SessionPlan
from storage.folder.owner import Owners
from storage.folder.store import FolderStore
from storage.store import Store

HARBOUR = next(plan for plan in sample_plans() if plan.id == "harbour-circuit")
ADDRESS = "https://rowing.example/app/"


async def only_the_harbour(store: Store) -> None:
    await store.plans.save(HARBOUR)


async def opened(folder: Path, owners: Owners) -> FletClient:
    """A window on a folder, as whoever was here last left it."""
    return await window_on(folder, fill=only_the_harbour, owners=owners)


@pytest.fixture
def owners() -> Owners:
    """Of one process: a second window of the same browser takes a folder over."""
    return Owners()


@pytest.fixture
async def client(tmp_path: Path, owners: Owners) -> FletClient:
    window = await opened(tmp_path, owners)
    await window.press("I have read this")
    await window.until_shown("How many minutes?")
    await window.press("Plans")
    await window.until_shown("Write a new plan")
    return window


async def writing(client: FletClient) -> FletClient:
    """A squat and a row at 45 s of work and 30 s of rest, with a name."""
    await client.press("Write a new plan")
    await client.until_shown("No block yet")
    await client.write("Name", "Boathouse evening")
    await client.press("Add work")
    await client.until_shown("Find a movement")
    for found, name in (("goblet", "Goblet squat"), ("bent", "Bent-over row")):
        await client.write("Find a movement", found)
        await client.until_shown(f"Add {name}")
        await client.press(f"Add {name}")
        await client.until_shown("Minutes as planned")
    return client


async def changing(client: FletClient) -> FletClient:
    await client.press("What it asks")
    await client.until_shown("Change this plan")
    await client.press("Change this plan")
    await client.until_shown("Outline")
    return client


async def test_a_plan_written_from_nothing_is_kept_under_its_name(client: FletClient, tmp_path: Path) -> None:
    await client.press("Write a new plan")
    await client.until_shown("2 faults")
    assert client.shows(NO_FIGURES)
    await client.write("Name", "Boathouse evening")
    await client.until_shown("1 fault")
    await client.press("Add work")
    await client.until_shown("Find a movement")
    await client.write("Find a movement", "squat goblet")
    await client.until_shown("Add Goblet squat")
    await client.press("Add Goblet squat")
    await client.until_shown("No faults")
    await client.until_shown("Minutes as planned")
    await client.press("Save this plan")
    await client.until_shown("Boathouse evening is saved")
    kept = {plan.id: plan for plan in await FolderStore(tmp_path).plans.all()}
    assert kept["boathouse-evening"].work_blocks()[0].movements[0].movement == "goblet-squat"
    assert kept["harbour-circuit"] == HARBOUR


async def test_a_fault_stands_at_its_place_and_goes_with_undo(client: FletClient) -> None:
    await changing(client)
    await client.press("3. Work")
    await client.until_shown("After a round")
    await client.write("Rest", "soon")
    await client.until_shown("Check: Write a whole number.")
    assert client.shows("1 fault")
    await client.press("Undo")
    await client.until_shown("No faults")
    assert not client.shows("Check:")
    await client.press("Redo")
    await client.until_shown("Check: Write a whole number.")


async def test_letters_on_their_way_are_not_undone_by_what_is_drawn_meanwhile(client: FletClient) -> None:
    """The client has told of a letter, its event has not been looked at, and the screen is drawn."""
    await client.press("Write a new plan")
    await client.until_shown("2 faults")
    await client.write("Name", "Boathou")
    await client.until_shown("1 fault")
    client.session.apply_patch(client.field("Name")._i, {"value": "Boathous"})
    await client.write("Changeover between blocks", "soon")
    await client.until_shown("Check: Write a whole number.")
    assert client.field("Name").value == "Boathous"


async def test_an_easier_movement_is_written_by_its_name(client: FletClient, tmp_path: Path) -> None:
    await writing(client)
    await client.press("Open")
    await client.until_shown("May be left out")
    assert client.field("Easier movement").hint_text == "the library's: Squat"
    await client.write("Easier movement", "Half")
    await client.until_shown("1 fault")
    await client.write("Easier movement", "Half squat")
    await client.until_shown("No faults")
    await client.press("Save this plan")
    await client.until_shown("is saved")
    kept = await FolderStore(tmp_path).plans.one("boathouse-evening")
    assert kept is not None
    assert kept.work_blocks()[0].movements[0].easier == "half-squat"


async def test_a_substitute_and_a_load_to_start_with_are_written(client: FletClient, tmp_path: Path) -> None:
    await writing(client)
    await client.press("Open")
    await client.until_shown("Your substitutes")
    await client.press("Add a substitute: Knee pain")
    await client.until_shown("Knee pain")
    await client.write("Knee pain", "Moonwalk")
    await client.until_shown("1 fault")
    await client.write("Knee pain", "Glute bridge")
    await client.until_shown("No faults")
    await client.write("Start with one", "heavy")
    await client.until_shown("Check: Write a number such as 12 or 12.5.")
    await client.write("Start with one", "600")
    await client.until_shown("1 fault")
    await client.write("Start with one", "7,5")
    await client.until_shown("No faults")
    assert not client.shows("Start with two, each"), "a goblet squat takes one"
    await client.press("Save this plan")
    await client.until_shown("is saved")
    kept = await FolderStore(tmp_path).plans.one("boathouse-evening")
    assert kept is not None
    squat = kept.work_blocks()[0].movements[0]
    assert [(one.when, one.movement) for one in squat.substitutes] == [("knee", "glute-bridge")]
    assert (squat.starting_g, squat.starting_pair_g) == (7_500, None)
    await client.press("What Boathouse evening asks")
    await client.until_shown("Instead of Goblet squat: Glute bridge (pain: knee).")
    assert client.shows("To start with: Goblet squat (one of 7.5 kg).")


async def test_what_is_given_up_first_is_ordered_by_buttons(client: FletClient, tmp_path: Path) -> None:
    await changing(client)
    await client.press("Short of time")
    await client.until_shown("What stands first is cut first")
    first, second = (HARBOUR.allowances or ())[:2]
    await client.press("↓")
    await client.until_shown("No faults")
    await client.press("Save this plan")
    await client.until_shown("is saved")
    (kept,) = await FolderStore(tmp_path).plans.all()
    assert (kept.allowances or ())[:2] == (second, first)


async def test_without_an_address_there_is_only_file_and_sheet(client: FletClient) -> None:
    await changing(client)
    await client.press("Hand over")
    await client.until_shown("Save the printed sheet")
    assert client.shows(NO_ADDRESS)
    assert not client.shows("Copy the link")
    await client.write("Address", "http//nowhere")
    await client.press("Use this address")
    await client.until_shown("Check: Write the address where the companion is served")
    await client.write("Address", ADDRESS)
    await client.press("Use this address")
    await client.until_shown("Copy the link")
    assert client.shows(f"Links lead to {ADDRESS}")


async def test_what_is_handed_over_is_the_plan_as_it_is_written(client: FletClient) -> None:
    await writing(client)
    await client.press("Hand over")
    await client.until_shown("Save the printed sheet")
    await client.press("Save as a file")
    plan = read(SessionPlan, saved(client, "boathouse-evening.json"))
    assert [one.movement for one in plan.work_blocks()[0].movements] == ["goblet-squat", "bent-over-row"]
    await client.press("Save the printed sheet")
    sheet = saved(client, "boathouse-evening.html").decode()
    assert "Goblet squat" in sheet
    await client.write("Address", ADDRESS)
    await client.press("Use this address")
    await client.until_shown("Copy the link")
    await client.press("Copy the link")
    assert read_link(client.connection.given["set"]["data"]) == plan
    await client.press("Save its QR code")
    assert saved(client, "plan-link.svg").lstrip().startswith((b"<?xml", b"<svg"))


def saved(client: FletClient, name: str) -> bytes:
    """What was offered last to be saved, under this name."""
    given = client.connection.given["save_file"]
    assert given["file_name"] == name
    content: bytes = given["src_bytes"]
    return content


async def test_what_is_not_kept_stays_on_the_desk_and_can_be_discarded(client: FletClient) -> None:
    await writing(client)
    await client.press("Back")
    await client.until_shown("Go on writing Boathouse evening")
    await changing(client)
    await client.press("Back")
    await client.until_shown("Go on writing Boathouse evening")
    assert not client.shows("Go on writing Harbour circuit")
    await client.press("Go on writing")
    await client.until_shown("Goblet squat")
    await client.press("Discard")
    await client.until_shown("Discarded: Boathouse evening")
    assert not client.shows("Go on writing")
    await client.press("Undo")
    await client.until_shown("Go on writing Boathouse evening")


async def test_two_plans_that_are_written_at_once_are_found_again_after_a_crash(
    client: FletClient, tmp_path: Path, owners: Owners
) -> None:
    await writing(client)
    await client.press("Back")
    await client.until_shown("Go on writing Boathouse evening")
    await changing(client)
    await client.press("3. Work")
    await client.until_shown("After a round")
    await client.write("Rest", "soon")
    await client.until_shown("1 fault")
    again = await opened(tmp_path, owners)
    await again.until_shown("How many minutes?")
    await again.press("Plans")
    await again.until_shown("Go on writing Boathouse evening")
    await again.press("Go on writing Harbour circuit")
    await again.until_shown("1 fault")
    await again.press("Back")
    await again.until_shown("Go on writing Boathouse evening")
    await again.press("Go on writing Boathouse evening")
    await again.until_shown("No faults")
    await again.press("Save this plan")
    await again.until_shown("Boathouse evening is saved")
    assert not again.shows("Go on writing Boathouse evening")
    assert [one.id for one in await FolderStore(tmp_path).plans.drafts()] == ["harbour-circuit"]
    await again.press("Undo")
    await again.until_shown("Go on writing Boathouse evening")
    assert [one.id for one in await FolderStore(tmp_path).plans.drafts()] == ["harbour-circuit", "new-plan"]


async def test_a_new_movement_is_made_like_a_known_one_and_stands_in_the_block(
    client: FletClient, tmp_path: Path
) -> None:
    await changing(client)
    await client.press("3. Work")
    await client.until_shown("Find a movement")
    await client.write("Find a movement", "goblet")
    await client.until_shown("Make it like Goblet squat")
    await client.press("Make it like Goblet squat")
    await client.until_shown("Check: Write the name of the new movement.")
    await client.write("Or a new movement", "Oar squat")
    await client.press("Make it like Goblet squat")
    await client.until_shown("Oar squat")
    await client.press("Movements of its own")
    await client.until_shown("Versions by kit")
    await client.write("Pattern", "Vertical push")
    await client.press("Save this plan")
    await client.until_shown("is saved")
    (kept,) = await FolderStore(tmp_path).plans.all()
    assert kept.work_blocks()[0].movements[-1].movement == "oar-squat"
    assert (kept.movements[-1].name, kept.movements[-1].pattern) == ("Oar squat", "vertical_push")
