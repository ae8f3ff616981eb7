-- What somebody said beside the readings, which the log is read with: that the
-- scale of a brake was set again by hand or stays where it has moved to, which
-- angle somebody's protractor shows when the log made that doubtful, what it
-- showed on a known corner, and how an offcut of a new pack came out.
CREATE TABLE statement (
  seq     INTEGER PRIMARY KEY,
  kind    TEXT NOT NULL CHECK (kind IN ('scale-set', 'scale-stays', 'shows-opening', 'shows-bend', 'corner', 'offcut')),
  brake   TEXT NOT NULL, -- of 'scale-set' and 'scale-stays', else empty
  person  TEXT NOT NULL, -- initials of who reads
  tool    TEXT NOT NULL, -- and with what
  corner  INTEGER NOT NULL, -- of 'corner': the bend angle it has, hundredths of a degree, else 0
  shown   INTEGER NOT NULL, -- of 'corner' and 'offcut': what was shown, as a bend angle
  code    TEXT NOT NULL,    -- of 'offcut': the traveler whose step was tried
  step    INTEGER NOT NULL,
  stop    INTEGER NOT NULL, -- the bend angle it was stopped at
  after   INTEGER NOT NULL, -- seq of the newest reading when it was said
  by_whom TEXT NOT NULL,
  at      TEXT NOT NULL
) STRICT;
CREATE TRIGGER statement_no_change BEFORE UPDATE ON statement BEGIN SELECT RAISE(ABORT, 'a statement never changes'); END;
CREATE TRIGGER statement_no_loss BEFORE DELETE ON statement BEGIN SELECT RAISE(ABORT, 'a statement is never removed'); END;
CREATE TRIGGER statement_no_swap BEFORE INSERT ON statement
  WHEN EXISTS (SELECT 1 FROM statement WHERE seq = NEW.seq)
  BEGIN SELECT RAISE(ABORT, 'this statement exists'); END;
