"""Files are written whole or not at all."""

import pytest

from cyclokit import files


def test_an_interrupted_writing_leaves_the_old_file_whole_and_nothing_beside_it(tmp_path, monkeypatch):
    target = tmp_path / "my_drive.toml"
    target.write_bytes(b"old")

    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(files.os, "chmod", interrupted)
    with pytest.raises(KeyboardInterrupt):
        files.write_whole(target, b"new")
    assert [path.name for path in tmp_path.iterdir()] == ["my_drive.toml"]
    assert target.read_bytes() == b"old"
