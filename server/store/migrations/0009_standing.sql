-- More happens to a traveler: it is opened again, its run is stopped and goes on,
-- its release is asked for, a piece is left out or taken up again, and a newer
-- revision of its part is made ready. A CHECK cannot be widened in place, so the
-- table is made anew with what is in it.
CREATE TABLE traveler_event_wide (
  seq    INTEGER PRIMARY KEY,
  code   TEXT NOT NULL REFERENCES traveler (code),
  kind   TEXT NOT NULL CHECK (kind IN ('closed', 'reopened', 'voided', 'superseded', 'finish-allowed', 'override', 'release-asked',
    'quantity', 'sampling', 'remade', 'skipped', 'taken-up', 'held', 'resumed', 'new-revision', 'run-on')),
  piece  INTEGER NOT NULL CHECK (piece >= 0), -- 0 where it is about all
  detail TEXT NOT NULL,
  by_whom TEXT NOT NULL,
  at_brake INTEGER NOT NULL CHECK (at_brake IN (0, 1)), -- 0: in the office
  at     TEXT NOT NULL
) STRICT;
INSERT INTO traveler_event_wide (seq, code, kind, piece, detail, by_whom, at_brake, at)
  SELECT seq, code, kind, 0, detail, by_whom, 0, at FROM traveler_event;
DROP TABLE traveler_event;
ALTER TABLE traveler_event_wide RENAME TO traveler_event;
CREATE INDEX traveler_event_by_code ON traveler_event (code, seq);
CREATE TRIGGER traveler_event_no_change BEFORE UPDATE ON traveler_event BEGIN SELECT RAISE(ABORT, 'an event never changes'); END;
CREATE TRIGGER traveler_event_no_loss BEFORE DELETE ON traveler_event BEGIN SELECT RAISE(ABORT, 'an event is never removed'); END;
CREATE TRIGGER traveler_event_no_swap BEFORE INSERT ON traveler_event
  WHEN EXISTS (SELECT 1 FROM traveler_event WHERE seq = NEW.seq)
  BEGIN SELECT RAISE(ABORT, 'this event exists'); END;
CREATE TRIGGER traveler_event_after_void BEFORE INSERT ON traveler_event
  WHEN EXISTS (SELECT 1 FROM traveler_event WHERE code = NEW.code AND kind = 'voided')
  BEGIN SELECT RAISE(ABORT, 'nothing more happens to a void traveler'); END;

-- Travelers were issued from a revision that is ready.
CREATE TRIGGER revision_ready BEFORE INSERT ON revision
  WHEN NEW.shelf = 'part' AND EXISTS (SELECT 1 FROM part_mark WHERE number = NEW.name AND revision = NEW.revision AND kind = 'ready')
  BEGIN SELECT RAISE(ABORT, 'a ready revision never changes'); END;

-- A reading that may be a slip of the thumb and waits for a yes or a no, as it
-- was sent. It is open until it is stored, or refused, or a newer reading of the
-- same bend is in.
CREATE TABLE question (
  id    TEXT NOT NULL PRIMARY KEY, -- of the reading
  code  TEXT NOT NULL REFERENCES traveler (code),
  piece INTEGER NOT NULL,
  step  INTEGER NOT NULL,
  words TEXT NOT NULL,
  after INTEGER NOT NULL, -- seq of the newest reading when it was asked
  asked TEXT NOT NULL,
  body  BLOB NOT NULL
) STRICT;
CREATE INDEX question_by_code ON question (code);
CREATE TRIGGER question_no_change BEFORE UPDATE ON question BEGIN SELECT RAISE(ABORT, 'a question never changes'); END;
CREATE TRIGGER question_no_loss BEFORE DELETE ON question BEGIN SELECT RAISE(ABORT, 'a question is never removed'); END;
CREATE TABLE question_answer (
  id      TEXT NOT NULL PRIMARY KEY REFERENCES question (id),
  keep    INTEGER NOT NULL CHECK (keep IN (0, 1)), -- 1: it was no slip
  by_whom TEXT NOT NULL,
  at      TEXT NOT NULL
) STRICT;
CREATE TRIGGER question_answer_no_change BEFORE UPDATE ON question_answer BEGIN SELECT RAISE(ABORT, 'an answer never changes'); END;
CREATE TRIGGER question_answer_no_loss BEFORE DELETE ON question_answer BEGIN SELECT RAISE(ABORT, 'an answer is never removed'); END;
