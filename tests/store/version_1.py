"""A database as version 1 of the tables wrote it, in its own words, so that the steps have something old."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

_SCRIPT = """
pragma journal_mode = wal;
begin;
create table records (
    number integer primary key, kind text not null, key text not null,
    revision integer not null check (revision >= 1), deleted integer not null check (deleted in (0, 1)),
    position integer not null, name text not null, sort text not null, wearer text, search text not null,
    updated text not null, doc text not null check (json_valid(doc)), unique (kind, key)
) strict;
create index records_listed on records (kind, deleted, sort, key);
create index records_of_wearer on records (kind, deleted, wearer, sort, key);
create index records_in_order on records (kind, position);
create table history (
    kind text not null, key text not null, revision integer not null check (revision >= 1),
    deleted integer not null check (deleted in (0, 1)), at text not null, what text not null,
    doc text not null check (json_valid(doc)), primary key (kind, key, revision)
) strict;
create table counter (
    one integer primary key check (one = 1), changes integer not null, token text not null
) strict;
insert into counter values (1, 3, 'an old token');
insert into records (kind, key, revision, deleted, position, name, sort, search, updated, doc) values
    ('household', 'household', 1, 0, 0, '', '', '', '2025-01-01T10:00:00.000+00:00', '{"unit":"cm"}'),
    ('wearers', 'ida', 1, 0, 1, 'Ida', 'ida', 'ida', '2025-01-01T10:00:00.000+00:00',
     '{"id":"ida","name":"Ida"}'),
    ('makes', 'grey', 2, 0, 1, 'grey', 'grey', 'grey', '2025-01-01T10:02:00.000+00:00',
     '{"id":"grey","name":"grey","wearer":"ida"}'),
    ('yarns', 'old', 2, 1, 1, 'old', 'old', 'old', '2025-01-01T10:03:00.000+00:00',
     '{"id":"old","name":"old"}');
update records set wearer = 'ida' where kind = 'makes';
insert into history values
    ('household', 'household', 1, 0, '2025-01-01T10:00:00.000+00:00', 'created', '{"unit":"cm"}'),
    ('wearers', 'ida', 1, 0, '2025-01-01T10:00:00.000+00:00', 'created', '{"id":"ida","name":"Ida"}'),
    ('makes', 'grey', 1, 0, '2025-01-01T10:01:00.000+00:00', 'created', '{"id":"grey","name":"grey"}'),
    ('makes', 'grey', 2, 0, '2025-01-01T10:02:00.000+00:00', 'changed',
     '{"id":"grey","name":"grey","wearer":"ida"}'),
    ('yarns', 'old', 1, 0, '2025-01-01T10:00:00.000+00:00', 'created', '{"id":"old","name":"old"}'),
    ('yarns', 'old', 2, 1, '2025-01-01T10:03:00.000+00:00', 'deleted', '{"id":"old","name":"old"}');
pragma application_id = 1179927368;
pragma user_version = 1;
commit;
"""


def build(path: Path) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    with closing(sqlite3.connect(path, isolation_level=None)) as connection:
        connection.executescript(_SCRIPT)
    return path
