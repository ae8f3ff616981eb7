-- What the readings of a sheet add up to, bar by bar and day by day, so that a
-- review of years need not read them all. Only readings that stand are in it:
-- one that is corrected is taken out again, one that only takes another back is
-- never in. The two triggers keep it; it can be made anew from the readings at
-- any time.
CREATE TABLE tally (
  code      TEXT NOT NULL REFERENCES traveler (code),
  bar       TEXT NOT NULL,
  day       TEXT NOT NULL, -- YYYY-MM-DD, when the readings came in
  part      TEXT NOT NULL,
  job       TEXT NOT NULL,
  material  TEXT NOT NULL,
  thickness INTEGER NOT NULL,
  brake     TEXT NOT NULL,
  readings  INTEGER NOT NULL,
  taught    INTEGER NOT NULL, -- readings that say how far metal springs back; the next three are theirs
  good      INTEGER NOT NULL, -- in tolerance
  total     INTEGER NOT NULL, -- sum of their errors, hundredths of a degree
  squares   INTEGER NOT NULL, -- sum of the squares of those
  first     INTEGER NOT NULL, -- readings of piece 1
  first_bad INTEGER NOT NULL, -- of these, those out of tolerance or not as bent
  reworked  INTEGER NOT NULL,
  scrapped  INTEGER NOT NULL,
  lifted    INTEGER NOT NULL, -- flagged bar-lifted
  opened    INTEGER NOT NULL, -- flagged setback-opened
  torn      INTEGER NOT NULL, -- flagged corner-torn
  noted     INTEGER NOT NULL, -- with a note
  last      INTEGER NOT NULL, -- seq of the newest reading that touched the row
  PRIMARY KEY (code, bar, day)
) STRICT, WITHOUT ROWID;

CREATE TRIGGER tally_adds AFTER INSERT ON reading WHEN instr(NEW.flags, 'withdrawn') = 0
BEGIN
  INSERT INTO tally (code, bar, day, part, job, material, thickness, brake, readings, taught, good, total, squares,
    first, first_bad, reworked, scrapped, lifted, opened, torn, noted, last)
  SELECT NEW.code, NEW.bar, substr(NEW.received, 1, 10), t.part, t.job, NEW.material, NEW.thickness, NEW.brake, 1,
    NEW.teaches, NEW.teaches * NEW.in_tolerance, NEW.teaches * NEW.error, NEW.teaches * NEW.error * NEW.error,
    NEW.piece = 1, NEW.piece = 1 AND (NEW.in_tolerance = 0 OR NEW.state <> 'as-bent'),
    NEW.state = 'reworked', NEW.state = 'scrapped',
    instr(NEW.flags, 'bar-lifted') > 0, instr(NEW.flags, 'setback-opened') > 0, instr(NEW.flags, 'corner-torn') > 0,
    NEW.note <> '', NEW.seq
  FROM traveler t WHERE t.code = NEW.code
  ON CONFLICT (code, bar, day) DO UPDATE SET
    readings = readings + 1, taught = taught + excluded.taught, good = good + excluded.good,
    total = total + excluded.total, squares = squares + excluded.squares,
    first = first + excluded.first, first_bad = first_bad + excluded.first_bad,
    reworked = reworked + excluded.reworked, scrapped = scrapped + excluded.scrapped,
    lifted = lifted + excluded.lifted, opened = opened + excluded.opened, torn = torn + excluded.torn,
    noted = noted + excluded.noted, last = excluded.last;
END;

CREATE TRIGGER tally_takes AFTER INSERT ON reading WHEN NEW.corrects IS NOT NULL
BEGIN
  UPDATE tally SET
    readings = readings - 1, taught = taught - o.teaches, good = good - o.teaches * o.in_tolerance,
    total = total - o.teaches * o.error, squares = squares - o.teaches * o.error * o.error,
    first = first - (o.piece = 1), first_bad = first_bad - (o.piece = 1 AND (o.in_tolerance = 0 OR o.state <> 'as-bent')),
    reworked = reworked - (o.state = 'reworked'), scrapped = scrapped - (o.state = 'scrapped'),
    lifted = lifted - (instr(o.flags, 'bar-lifted') > 0), opened = opened - (instr(o.flags, 'setback-opened') > 0),
    torn = torn - (instr(o.flags, 'corner-torn') > 0), noted = noted - (o.note <> ''), last = NEW.seq
  FROM reading o
  WHERE o.id = NEW.corrects AND instr(o.flags, 'withdrawn') = 0
    AND tally.code = o.code AND tally.bar = o.bar AND tally.day = substr(o.received, 1, 10);
END;

INSERT INTO tally (code, bar, day, part, job, material, thickness, brake, readings, taught, good, total, squares,
  first, first_bad, reworked, scrapped, lifted, opened, torn, noted, last)
SELECT r.code, r.bar, substr(r.received, 1, 10), t.part, t.job, r.material, r.thickness, r.brake, count(*),
  sum(r.teaches), sum(r.teaches * r.in_tolerance), sum(r.teaches * r.error), sum(r.teaches * r.error * r.error),
  sum(r.piece = 1), sum(r.piece = 1 AND (r.in_tolerance = 0 OR r.state <> 'as-bent')),
  sum(r.state = 'reworked'), sum(r.state = 'scrapped'),
  sum(instr(r.flags, 'bar-lifted') > 0), sum(instr(r.flags, 'setback-opened') > 0), sum(instr(r.flags, 'corner-torn') > 0),
  sum(r.note <> ''), max(r.seq)
FROM reading r JOIN traveler t ON t.code = r.code
WHERE instr(r.flags, 'withdrawn') = 0 AND NOT EXISTS (SELECT 1 FROM reading c WHERE c.corrects = r.id)
GROUP BY r.code, r.bar, substr(r.received, 1, 10);

-- What the owner decided about the stop of one material, thickness, radius,
-- brake and bar. The newest row that is not refused holds; a returned row
-- without figures goes back to practice.
CREATE TABLE figure (
  seq        INTEGER PRIMARY KEY,
  kind       TEXT NOT NULL CHECK (kind IN ('accepted', 'edited', 'refused', 'returned')),
  material   TEXT NOT NULL,
  thickness  INTEGER NOT NULL,
  radius     INTEGER NOT NULL,
  brake      TEXT NOT NULL,
  bar        TEXT NOT NULL,
  angle      INTEGER NOT NULL, -- bend angle it was looked at for
  was        INTEGER NOT NULL, -- springback printed before, at that angle
  offered    INTEGER NOT NULL, -- springback that was proposed
  zero       INTEGER,          -- of the brake's scale, hundredths of a degree
  at90       INTEGER,          -- springback at 90 degrees
  spread     INTEGER,
  readings   INTEGER NOT NULL,
  words      TEXT NOT NULL,    -- as printed beside the stop
  upto       INTEGER NOT NULL, -- seq of the last reading that was considered
  by_whom    TEXT NOT NULL,
  at         TEXT NOT NULL,
  CHECK ((zero IS NULL) = (at90 IS NULL) AND (zero IS NULL) = (spread IS NULL)),
  CHECK (kind = 'returned' OR kind = 'refused' OR zero IS NOT NULL)
) STRICT;
CREATE TRIGGER figure_no_change BEFORE UPDATE ON figure BEGIN SELECT RAISE(ABORT, 'a decision never changes'); END;
CREATE TRIGGER figure_no_loss BEFORE DELETE ON figure BEGIN SELECT RAISE(ABORT, 'a decision is never removed'); END;
CREATE TRIGGER figure_no_swap BEFORE INSERT ON figure
  WHEN EXISTS (SELECT 1 FROM figure WHERE seq = NEW.seq)
  BEGIN SELECT RAISE(ABORT, 'this decision exists'); END;

-- Somebody scanned a sheet that a newer one had replaced.
CREATE TABLE old_scan (
  seq  INTEGER PRIMARY KEY,
  code TEXT NOT NULL REFERENCES traveler (code),
  at   TEXT NOT NULL
) STRICT;
CREATE INDEX old_scan_by_code ON old_scan (code, at);
CREATE TRIGGER old_scan_no_change BEFORE UPDATE ON old_scan BEGIN SELECT RAISE(ABORT, 'a scan never changes'); END;
CREATE TRIGGER old_scan_no_loss BEFORE DELETE ON old_scan BEGIN SELECT RAISE(ABORT, 'a scan is never removed'); END;

-- Why a first piece failed, as the owner sees it; the newest row of a sheet
-- holds.
CREATE TABLE first_piece_cause (
  seq     INTEGER PRIMARY KEY,
  code    TEXT NOT NULL REFERENCES traveler (code),
  cause   TEXT NOT NULL,
  by_whom TEXT NOT NULL,
  at      TEXT NOT NULL
) STRICT;
CREATE INDEX first_piece_cause_by_code ON first_piece_cause (code, seq);
CREATE TRIGGER first_piece_cause_no_change BEFORE UPDATE ON first_piece_cause BEGIN SELECT RAISE(ABORT, 'a cause never changes'); END;
CREATE TRIGGER first_piece_cause_no_loss BEFORE DELETE ON first_piece_cause BEGIN SELECT RAISE(ABORT, 'a cause is never removed'); END;

-- A gauge study: two people or more measure the same bends, several times each.
CREATE TABLE gauge_study (
  seq  INTEGER PRIMARY KEY,
  tool TEXT NOT NULL,
  at   TEXT NOT NULL
) STRICT;
CREATE TABLE gauge_reading (
  study    INTEGER NOT NULL REFERENCES gauge_study (seq),
  person   TEXT NOT NULL CHECK (person <> ''),
  bend     INTEGER NOT NULL CHECK (bend > 0),
  turn     INTEGER NOT NULL CHECK (turn > 0),
  measured INTEGER NOT NULL,
  PRIMARY KEY (study, person, bend, turn)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER gauge_study_no_change BEFORE UPDATE ON gauge_study BEGIN SELECT RAISE(ABORT, 'a study never changes'); END;
CREATE TRIGGER gauge_study_no_loss BEFORE DELETE ON gauge_study BEGIN SELECT RAISE(ABORT, 'a study is never removed'); END;
CREATE TRIGGER gauge_reading_no_change BEFORE UPDATE ON gauge_reading BEGIN SELECT RAISE(ABORT, 'a study never changes'); END;
CREATE TRIGGER gauge_reading_no_loss BEFORE DELETE ON gauge_reading BEGIN SELECT RAISE(ABORT, 'a study is never removed'); END;
