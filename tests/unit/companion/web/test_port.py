"""The port at which a data folder is served."""

import socket
from pathlib import Path

from companion.web.port import FIRST, LAST, usual_port


def test_a_folder_has_the_same_port_at_each_start_and_another_folder_most_often_another(
    tmp_path: Path,
) -> None:
    ports = [usual_port(tmp_path / name) for name in "abcdefgh"]
    assert ports == [usual_port(tmp_path / "x" / ".." / name) for name in "abcdefgh"]
    assert all(FIRST <= port <= LAST for port in ports)
    assert len(set(ports)) > 6


def test_where_another_program_has_the_port_a_free_one_is_taken(tmp_path: Path) -> None:
    port = usual_port(tmp_path)
    with socket.create_server(("127.0.0.1", port)):
        assert usual_port(tmp_path) == 0
    assert usual_port(tmp_path) == port
