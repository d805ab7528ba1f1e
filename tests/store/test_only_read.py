"""Where nothing can be written a database is read, shown and exported still; what only reads never writes it."""

from __future__ import annotations

import errno
import os
import shutil
import stat

import pytest

from fitcheck.cli import main
from fitcheck.store import Store
from fitcheck.store.backups import restore
from fitcheck.store.faults import DatabaseForeign, DatabaseGone, DatabaseTaken, OnlyRead
from tests.store import version_1
from tests.store.conftest import as_nobody, garment
from tests.webui.lent import lend, put_on
from webui.config import Config

POSIX = os.name == "posix"


def written(path):
    with Store.open(path) as store:
        store.put("garments", "grey", garment(), 0)
    return path


def killed(path):
    """A database whose last change stands in its log alone, as a killed service leaves it."""
    path.parent.mkdir(exist_ok=True)
    with Store.open(path.with_name("served.db")) as store:
        store.put("garments", "grey", garment(), 0)
        for end in ("", "-wal"):
            shutil.copy(store.path.with_name(f"served.db{end}"), path.with_name(path.name + end))
    store.path.unlink()
    return path


def files(folder):
    """Every file there: its bytes, and when it was changed."""
    return {file.name: (file.read_bytes(), file.stat().st_mtime_ns) for file in folder.iterdir() if file.is_file()}


WAYS = {"at rest": written, "killed": killed, "of an older version": version_1.build}


def closed(folder):
    """Nobody may write there any more; everybody may read."""
    for file in folder.iterdir():
        file.chmod(0o444)
    folder.chmod(0o555)


if POSIX:

    @pytest.mark.parametrize("way", WAYS)
    def test_where_nothing_can_be_written_it_is_read_and_nothing_is_taken(open_folder, way):
        path = WAYS[way](open_folder / "f.db")
        closed(open_folder)
        before = files(open_folder)

        def reads_and_writes():
            with Store.open(path, busy_seconds=0.2) as store:
                assert store.only_read
                assert store.count("makes" if way == "of an older version" else "garments") == 1
                assert b'"grey"' in store.export_bundle()
                store.tend(still_seconds=0)
                store.put("yarns", "moss", {"name": "moss"}, 0)

        assert as_nobody(reads_and_writes) == "OnlyRead"
        assert files(open_folder) == before

    def test_a_file_that_is_closed_in_a_folder_that_is_open_is_read_and_left(open_folder):
        path = written(open_folder / "f.db")
        path.chmod(0o444)
        open_folder.chmod(0o777)
        before = path.read_bytes()
        assert as_nobody(lambda: str(Store.open(path).count("garments"))) == "1"
        assert as_nobody(lambda: Store.open(path).put("garments", "brown", garment(), 0)) == "OnlyRead"
        assert path.read_bytes() == before

    def test_pages_answer_there_and_changes_are_refused_with_what_to_do(open_folder):
        path = written(open_folder / "f.db")
        pages = ("/", "/wardrobe", "/wardrobe/new", "/settings", "/settings/household.json")
        with Store.open(path) as store:  # the child may not read the program: all of it is loaded before
            app = lend(store)
            client = app.test_client()
            for template in app.jinja_env.list_templates():
                app.jinja_env.get_template(template)
            assert [client.get(at).status_code for at in pages] == [200] * 5
        closed(open_folder)

        def asks():
            with Store.open(path) as store:
                put_on(app, store, Config(port=80))
                client = app.test_client()
                seen = [client.get(at).status_code for at in pages]
                sent = client.post("/wardrobe/new", data={"name": "Blue jumper", "at_chest": "52.4"})
                seen += [sent.status_code, "Allow writing there" in sent.text, "Blue jumper" in sent.text]
                put = client.put("/api/v1/yarns/moss", json={"name": "moss"}, headers={"If-Match": '"0"'})
                return " ".join(map(str, [*seen, put.status_code, put.json["type"]]))

        told = as_nobody(asks)
        assert told == "200 200 200 200 200 503 True True 503 /api/v1/browse#only-read"


COMMANDS = {
    "export": ["export"],
    "readings": ["readings-out"],
    "backup": ["backup", "copy.db"],
}


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize("command", COMMANDS)
def test_export_and_backup_never_write_the_source(tmp_path, monkeypatch, capsysbinary, command, way):
    path = WAYS[way](tmp_path / "data" / "f.db")
    monkeypatch.chdir(tmp_path)
    before = files(path.parent)
    assert main([*COMMANDS[command], "--data", str(path)]) == 0
    after = files(path.parent)
    after.pop("f.db-shm", None)  # where a log is read, SQLite counts who reads it
    before.pop("f.db-shm", None)
    assert after == before
    if command == "backup":
        with Store.open(tmp_path / "copy.db") as copy:
            assert copy.count("makes" if way == "of an older version" else "garments") == 1


def test_a_database_in_use_is_exported_with_its_latest_change(store):
    store.put("garments", "grey", garment(), 0)
    with Store.open_to_read(store.path) as read:
        assert read.export_bundle() == store.export_bundle()
        store.put("garments", "brown", garment(), 0)
        assert read.count("garments") == 2
        with pytest.raises(OnlyRead):
            read.delete("garments", "grey", 1)
    assert store.count("garments") == 2


def test_what_was_read_as_at_rest_and_was_written_meanwhile_is_told(tmp_path):
    path = written(tmp_path / "f.db")

    def reads(store):
        with store.database.reading(), Store.open(path) as other:
            other.put("garments", "brown", garment(), 0)

    with Store.open_to_read(path) as read, pytest.raises(DatabaseTaken):
        reads(read)


def test_nothing_is_made_where_there_is_nothing_to_read(tmp_path):
    (tmp_path / "f.db").touch()
    with pytest.raises(DatabaseForeign, match="an empty file"):
        Store.open_to_read(tmp_path / "f.db")
    with Store.open(tmp_path / "g.db") as store:
        store.back_up()
    (tmp_path / "g.db").unlink()
    with pytest.raises(DatabaseGone):
        Store.open_to_read(tmp_path / "g.db")
    assert sorted(file.name for file in tmp_path.iterdir()) == ["backups", "f.db"]


if POSIX:

    def test_a_restore_over_a_file_that_is_closed_says_so(open_folder):
        backup = written(open_folder / "copy.db")
        path = written(open_folder / "f.db")
        backup.chmod(0o444)
        path.chmod(0o444)
        open_folder.chmod(0o777)
        before = path.read_bytes()
        assert as_nobody(lambda: str(restore(path, backup))) == "OnlyRead"
        assert path.read_bytes() == before
        assert stat.S_IMODE(path.stat().st_mode) == 0o444

    @pytest.mark.parametrize("command", [["export"], ["export", "--photos"], ["readings-out"], ["backup"]])
    def test_what_goes_out_into_a_file_only_its_owner_reads(tmp_path, command):
        path = written(tmp_path / "f.db")
        umask = os.umask(0)
        try:
            assert main([*command, str(tmp_path / "out"), "--data", str(path)]) == 0
        finally:
            os.umask(umask)
        assert stat.S_IMODE((tmp_path / "out").stat().st_mode) == 0o600


@pytest.mark.parametrize("command", [["export"], ["readings-out"], ["backup"], ["readings-in", "table.csv"]])
def test_a_command_tells_of_a_database_that_is_gone_how_it_comes_back(tmp_path, monkeypatch, capsys, command):
    path = written(tmp_path / "f.db")
    with Store.open(path) as store:
        backup = store.back_up()
    monkeypatch.chdir(tmp_path)
    (tmp_path / "table.csv").write_text("record kind,key,place,text\n")
    path.unlink()
    assert main([*command, "--data", "f.db"]) == 1
    assert f"fitcheck restore --data {path} {backup}" in capsys.readouterr().err
    assert not path.exists()


def test_nothing_is_left_of_a_file_that_could_not_be_written_whole(tmp_path, monkeypatch, capsys):
    path = written(tmp_path / "f.db")
    monkeypatch.setattr(Store, "export_album", fails_half_way)
    assert main(["export", "--photos", str(tmp_path / "out.zip"), "--data", str(path)]) == 1
    assert "No room left" in capsys.readouterr().err
    assert not (tmp_path / "out.zip").exists()


def fails_half_way(store, opened, make):
    opened.write(b"half")
    raise OSError(errno.ENOSPC, "no room")
