-- A second account that may only view. The check on the role cannot be changed
-- in place; everybody signs in again.
DROP TABLE session;
CREATE TABLE person_new (
  role          TEXT NOT NULL PRIMARY KEY CHECK (role IN ('owner', 'viewer')),
  name          TEXT NOT NULL,
  password_hash TEXT NOT NULL
) STRICT, WITHOUT ROWID;
INSERT INTO person_new (role, name, password_hash) SELECT role, name, password_hash FROM person;
DROP TABLE person;
ALTER TABLE person_new RENAME TO person;
CREATE TABLE session (
  token_hash TEXT NOT NULL PRIMARY KEY,
  role       TEXT NOT NULL REFERENCES person (role) ON DELETE CASCADE,
  expires    TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- What the owner said about a part: that one of its revisions is ready, or that
-- the part is put away.
CREATE TABLE part_mark (
  seq      INTEGER PRIMARY KEY,
  number   TEXT NOT NULL,
  revision TEXT NOT NULL,
  kind     TEXT NOT NULL CHECK (kind IN ('ready', 'archived', 'restored')),
  by_whom  TEXT NOT NULL,
  at       TEXT NOT NULL
) STRICT;
CREATE TRIGGER part_mark_no_change BEFORE UPDATE ON part_mark BEGIN SELECT RAISE(ABORT, 'a mark never changes'); END;
CREATE TRIGGER part_mark_no_loss BEFORE DELETE ON part_mark BEGIN SELECT RAISE(ABORT, 'a mark is never removed'); END;
CREATE TRIGGER part_mark_no_swap BEFORE INSERT ON part_mark
  WHEN EXISTS (SELECT 1 FROM part_mark WHERE seq = NEW.seq)
  BEGIN SELECT RAISE(ABORT, 'this mark exists'); END;

-- From which kept versions of part and brake a sheet was made, and why it took
-- the place of another; 0 where it was made from none that is kept.
CREATE TABLE traveler_basis (
  code   TEXT NOT NULL PRIMARY KEY REFERENCES traveler (code),
  part   INTEGER NOT NULL,
  brake  INTEGER NOT NULL,
  reason TEXT NOT NULL
) STRICT, WITHOUT ROWID;
CREATE TRIGGER traveler_basis_no_change BEFORE UPDATE ON traveler_basis BEGIN SELECT RAISE(ABORT, 'a basis never changes'); END;
CREATE TRIGGER traveler_basis_no_loss BEFORE DELETE ON traveler_basis BEGIN SELECT RAISE(ABORT, 'a basis is never removed'); END;
CREATE TRIGGER traveler_basis_no_swap BEFORE INSERT ON traveler_basis
  WHEN EXISTS (SELECT 1 FROM traveler_basis WHERE code = NEW.code)
  BEGIN SELECT RAISE(ABORT, 'this basis exists'); END;

-- The packs of sheet in the rack. Every change is a new row; the newest of a
-- name holds.
CREATE TABLE pack (
  seq       INTEGER PRIMARY KEY,
  name      TEXT NOT NULL CHECK (name <> ''),
  material  TEXT NOT NULL,
  thickness INTEGER NOT NULL CHECK (thickness > 0),
  measured  INTEGER,
  heat      TEXT NOT NULL,
  note      TEXT NOT NULL,
  used_up   INTEGER NOT NULL CHECK (used_up IN (0, 1)),
  at        TEXT NOT NULL
) STRICT;
CREATE INDEX pack_by_name ON pack (name, seq);
CREATE TRIGGER pack_no_change BEFORE UPDATE ON pack BEGIN SELECT RAISE(ABORT, 'a pack never changes'); END;
CREATE TRIGGER pack_no_loss BEFORE DELETE ON pack BEGIN SELECT RAISE(ABORT, 'a pack is never removed'); END;
CREATE TRIGGER pack_no_swap BEFORE INSERT ON pack
  WHEN EXISTS (SELECT 1 FROM pack WHERE seq = NEW.seq)
  BEGIN SELECT RAISE(ABORT, 'this pack exists'); END;

-- Trial strips as they were measured.
CREATE TABLE trial (
  seq       INTEGER PRIMARY KEY,
  material  TEXT NOT NULL,
  thickness INTEGER NOT NULL CHECK (thickness > 0),
  pack      TEXT NOT NULL,
  bar       TEXT NOT NULL,
  strip     INTEGER NOT NULL CHECK (strip > 0),
  leg_one   INTEGER NOT NULL CHECK (leg_one > 0),
  leg_two   INTEGER NOT NULL CHECK (leg_two > 0),
  angle     INTEGER NOT NULL,
  stop_bend INTEGER NOT NULL,
  radius    INTEGER NOT NULL,
  by_whom   TEXT NOT NULL,
  at        TEXT NOT NULL
) STRICT;
CREATE TRIGGER trial_no_change BEFORE UPDATE ON trial BEGIN SELECT RAISE(ABORT, 'a trial never changes'); END;
CREATE TRIGGER trial_no_loss BEFORE DELETE ON trial BEGIN SELECT RAISE(ABORT, 'a trial is never removed'); END;
CREATE TRIGGER trial_no_swap BEFORE INSERT ON trial
  WHEN EXISTS (SELECT 1 FROM trial WHERE seq = NEW.seq)
  BEGIN SELECT RAISE(ABORT, 'this trial exists'); END;
