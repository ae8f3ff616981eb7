-- Two more things are decided about a sheet: which pieces are measured, and
-- that a scrapped piece is made again. A CHECK cannot be widened in place, so
-- the table is made anew with what is in it.
CREATE TABLE traveler_event_wide (
  seq    INTEGER PRIMARY KEY,
  code   TEXT NOT NULL REFERENCES traveler (code),
  kind   TEXT NOT NULL CHECK (kind IN ('closed', 'voided', 'superseded', 'override', 'finish-allowed', 'quantity', 'sampling', 'remade')),
  detail TEXT NOT NULL,
  by_whom TEXT NOT NULL,
  at     TEXT NOT NULL
) STRICT;
INSERT INTO traveler_event_wide (seq, code, kind, detail, by_whom, at)
  SELECT seq, code, kind, detail, by_whom, at FROM traveler_event;
DROP TABLE traveler_event;
ALTER TABLE traveler_event_wide RENAME TO traveler_event;
CREATE INDEX traveler_event_by_code ON traveler_event (code, seq);
CREATE TRIGGER traveler_event_no_change BEFORE UPDATE ON traveler_event BEGIN SELECT RAISE(ABORT, 'an event never changes'); END;
CREATE TRIGGER traveler_event_no_loss BEFORE DELETE ON traveler_event BEGIN SELECT RAISE(ABORT, 'an event is never removed'); END;
CREATE TRIGGER traveler_event_no_swap BEFORE INSERT ON traveler_event
  WHEN EXISTS (SELECT 1 FROM traveler_event WHERE seq = NEW.seq)
  BEGIN SELECT RAISE(ABORT, 'this event exists'); END;

-- A picture taken at the brake, of a bend or of what was pencilled on the
-- sheet. The bytes come last, so that a list does not read through them.
CREATE TABLE photo (
  seq      INTEGER PRIMARY KEY,
  id       TEXT NOT NULL UNIQUE,
  code     TEXT NOT NULL REFERENCES traveler (code),
  piece    INTEGER NOT NULL CHECK (piece > 0),
  step     INTEGER NOT NULL CHECK (step > 0),
  reading  TEXT REFERENCES reading (id),
  by_whom  TEXT NOT NULL,
  received TEXT NOT NULL,
  kind     TEXT NOT NULL CHECK (kind IN ('image/jpeg', 'image/png')),
  digest   TEXT NOT NULL,
  size     INTEGER NOT NULL CHECK (size > 0 AND size = length(image)),
  image    BLOB NOT NULL
) STRICT;
CREATE INDEX photo_by_code ON photo (code, seq, size);
CREATE TRIGGER photo_no_change BEFORE UPDATE ON photo BEGIN SELECT RAISE(ABORT, 'a photo never changes'); END;
CREATE TRIGGER photo_no_loss BEFORE DELETE ON photo BEGIN SELECT RAISE(ABORT, 'a photo is never removed'); END;
CREATE TRIGGER photo_no_swap BEFORE INSERT ON photo
  WHEN EXISTS (SELECT 1 FROM photo WHERE id = NEW.id OR seq = NEW.seq)
  BEGIN SELECT RAISE(ABORT, 'this photo exists'); END;
