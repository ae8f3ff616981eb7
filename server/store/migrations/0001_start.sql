-- Lengths are whole micrometres, angles whole hundredths of a degree, times
-- RFC 3339 texts in UTC. What was issued or measured is frozen: it is only
-- ever added to, and the triggers refuse UPDATE, DELETE and REPLACE. REPLACE
-- passes the first two, so a third trigger looks for what it would displace.

CREATE TABLE setting (
  key   TEXT NOT NULL PRIMARY KEY,
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE person (
  role          TEXT NOT NULL PRIMARY KEY CHECK (role IN ('owner')),
  name          TEXT NOT NULL,
  password_hash TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE session (
  token_hash TEXT NOT NULL PRIMARY KEY,
  role       TEXT NOT NULL REFERENCES person (role),
  expires    TEXT NOT NULL
) STRICT, WITHOUT ROWID;

-- Every saved version of a part, a brake or a material, newest last.
CREATE TABLE revision (
  seq      INTEGER PRIMARY KEY,
  shelf    TEXT NOT NULL CHECK (shelf IN ('part', 'brake', 'material')),
  name     TEXT NOT NULL CHECK (name <> ''),
  revision TEXT NOT NULL,
  title    TEXT NOT NULL,
  json     BLOB NOT NULL,
  created  TEXT NOT NULL
) STRICT;
CREATE INDEX revision_by_name ON revision (shelf, name, revision, seq);
CREATE TRIGGER revision_no_change BEFORE UPDATE ON revision BEGIN SELECT RAISE(ABORT, 'a kept version never changes'); END;
CREATE TRIGGER revision_no_loss BEFORE DELETE ON revision BEGIN SELECT RAISE(ABORT, 'a kept version is never removed'); END;
CREATE TRIGGER revision_no_swap BEFORE INSERT ON revision
  WHEN EXISTS (SELECT 1 FROM revision WHERE seq = NEW.seq)
  BEGIN SELECT RAISE(ABORT, 'this kept version exists'); END;

CREATE TABLE job (
  number   TEXT NOT NULL PRIMARY KEY CHECK (number <> ''),
  part     TEXT NOT NULL,
  revision TEXT NOT NULL,
  quantity INTEGER NOT NULL CHECK (quantity > 0),
  brake    TEXT NOT NULL,
  due      TEXT NOT NULL,
  created  TEXT NOT NULL
) STRICT;

-- A sheet as it was issued: the frozen plan and the printed pages.
CREATE TABLE traveler (
  code      TEXT NOT NULL PRIMARY KEY,
  digest    TEXT NOT NULL UNIQUE,
  job       TEXT NOT NULL REFERENCES job (number),
  part      TEXT NOT NULL,
  revision  TEXT NOT NULL,
  brake     TEXT NOT NULL,
  quantity  INTEGER NOT NULL CHECK (quantity > 0),
  steps     INTEGER NOT NULL CHECK (steps > 0),
  snapshot  BLOB NOT NULL,
  pdf       BLOB NOT NULL,
  issued_at TEXT NOT NULL
) STRICT;
CREATE INDEX traveler_by_job ON traveler (job);
CREATE TRIGGER traveler_no_change BEFORE UPDATE ON traveler BEGIN SELECT RAISE(ABORT, 'a traveler never changes'); END;
CREATE TRIGGER traveler_no_loss BEFORE DELETE ON traveler BEGIN SELECT RAISE(ABORT, 'a traveler is never removed'); END;
CREATE TRIGGER traveler_no_swap BEFORE INSERT ON traveler
  WHEN EXISTS (SELECT 1 FROM traveler WHERE code = NEW.code OR digest = NEW.digest)
  BEGIN SELECT RAISE(ABORT, 'this traveler exists'); END;

-- What the owner decided about a traveler after it was issued.
CREATE TABLE traveler_event (
  seq    INTEGER PRIMARY KEY,
  code   TEXT NOT NULL REFERENCES traveler (code),
  kind   TEXT NOT NULL CHECK (kind IN ('closed', 'voided', 'superseded', 'override', 'finish-allowed', 'quantity')),
  detail TEXT NOT NULL,
  by_whom TEXT NOT NULL,
  at     TEXT NOT NULL
) STRICT;
CREATE INDEX traveler_event_by_code ON traveler_event (code, seq);
CREATE TRIGGER traveler_event_no_change BEFORE UPDATE ON traveler_event BEGIN SELECT RAISE(ABORT, 'an event never changes'); END;
CREATE TRIGGER traveler_event_no_loss BEFORE DELETE ON traveler_event BEGIN SELECT RAISE(ABORT, 'an event is never removed'); END;
CREATE TRIGGER traveler_event_no_swap BEFORE INSERT ON traveler_event
  WHEN EXISTS (SELECT 1 FROM traveler_event WHERE seq = NEW.seq)
  BEGIN SELECT RAISE(ABORT, 'this event exists'); END;

-- One logged reading: what was sent, what was answered, and beside it the
-- context of the plan, so that a review reads this table alone.
CREATE TABLE reading (
  seq          INTEGER PRIMARY KEY,
  id           TEXT NOT NULL UNIQUE,
  code         TEXT NOT NULL REFERENCES traveler (code),
  piece        INTEGER NOT NULL CHECK (piece > 0),
  step         INTEGER NOT NULL CHECK (step > 0),
  measured     INTEGER NOT NULL,
  given_as     TEXT NOT NULL CHECK (given_as IN ('bend', 'opening')),
  stop         INTEGER,
  place        TEXT NOT NULL,
  by_whom      TEXT NOT NULL,
  state        TEXT NOT NULL CHECK (state IN ('as-bent', 'reworked', 'scrapped')),
  note         TEXT NOT NULL,
  flags        TEXT NOT NULL,
  leg          INTEGER,
  pack         TEXT NOT NULL,
  gauged       INTEGER,
  setback_left INTEGER,
  setback_right INTEGER,
  tool         TEXT NOT NULL,
  confirmed    INTEGER NOT NULL CHECK (confirmed IN (0, 1)),
  at           TEXT NOT NULL,
  corrects     TEXT REFERENCES reading (id),
  error        INTEGER NOT NULL,
  received     TEXT NOT NULL,
  material     TEXT NOT NULL,
  thickness    INTEGER NOT NULL,
  bar          TEXT NOT NULL,
  brake        TEXT NOT NULL,
  target       INTEGER NOT NULL,
  tolerance    INTEGER NOT NULL,
  stop_bend    INTEGER NOT NULL,
  in_tolerance INTEGER NOT NULL CHECK (in_tolerance IN (0, 1)),
  teaches      INTEGER NOT NULL CHECK (teaches IN (0, 1)),
  body         BLOB NOT NULL,
  answer       BLOB NOT NULL
) STRICT;
CREATE INDEX reading_by_code ON reading (code, seq);
CREATE UNIQUE INDEX reading_corrects ON reading (corrects) WHERE corrects IS NOT NULL;
CREATE TRIGGER reading_no_change BEFORE UPDATE ON reading BEGIN SELECT RAISE(ABORT, 'a reading never changes'); END;
CREATE TRIGGER reading_no_loss BEFORE DELETE ON reading BEGIN SELECT RAISE(ABORT, 'a reading is never removed'); END;
CREATE TRIGGER reading_no_swap BEFORE INSERT ON reading
  WHEN EXISTS (SELECT 1 FROM reading WHERE id = NEW.id OR seq = NEW.seq OR corrects = NEW.corrects)
  BEGIN SELECT RAISE(ABORT, 'this reading exists'); END;
