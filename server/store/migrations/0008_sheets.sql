-- Readings are found by the number of their sheet in place of its code. Codes
-- are random, so that every reading of a batch touched another page of the index
-- by code; numbers of sheets in use lie together. Codes stay what is printed and
-- sent.
CREATE TABLE sheet (
  number INTEGER PRIMARY KEY,
  code   TEXT NOT NULL UNIQUE REFERENCES traveler (code)
) STRICT;
INSERT INTO sheet (code) SELECT code FROM traveler ORDER BY rowid;
CREATE TRIGGER sheet_of_traveler AFTER INSERT ON traveler BEGIN INSERT INTO sheet (code) VALUES (NEW.code); END;
CREATE TRIGGER sheet_no_change BEFORE UPDATE ON sheet BEGIN SELECT RAISE(ABORT, 'the number of a sheet never changes'); END;
CREATE TRIGGER sheet_no_loss BEFORE DELETE ON sheet BEGIN SELECT RAISE(ABORT, 'the number of a sheet is never removed'); END;
CREATE TRIGGER sheet_no_swap BEFORE INSERT ON sheet
  WHEN EXISTS (SELECT 1 FROM sheet WHERE number = NEW.number OR code = NEW.code)
  BEGIN SELECT RAISE(ABORT, 'this sheet exists'); END;

-- Which readings a sheet has.
CREATE TABLE sheet_reading (
  sheet   INTEGER NOT NULL REFERENCES sheet (number),
  reading INTEGER NOT NULL REFERENCES reading (seq),
  PRIMARY KEY (sheet, reading)
) STRICT, WITHOUT ROWID;
INSERT INTO sheet_reading (sheet, reading) SELECT s.number, r.seq FROM reading r JOIN sheet s ON s.code = r.code;
CREATE TRIGGER sheet_reading_no_change BEFORE UPDATE ON sheet_reading BEGIN SELECT RAISE(ABORT, 'a reading never changes its sheet'); END;
CREATE TRIGGER sheet_reading_no_loss BEFORE DELETE ON sheet_reading BEGIN SELECT RAISE(ABORT, 'a reading is never taken from its sheet'); END;
DROP INDEX reading_by_code;

-- The tally is brought up to date when the service starts. What came since is
-- added up from the readings themselves, so that storing one costs no more than
-- the reading.
DROP TRIGGER tally_adds;
DROP TRIGGER tally_takes;
