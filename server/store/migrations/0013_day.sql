-- What the office says of a job beside its sheet: by when it is due, for whom it is,
-- a note, and its turn at its brake (0: none was given). The newest row of a job counts.
CREATE TABLE job_detail (
  seq      INTEGER PRIMARY KEY,
  job      TEXT NOT NULL REFERENCES job (number),
  due      TEXT NOT NULL, -- YYYY-MM-DD, or empty
  customer TEXT NOT NULL,
  note     TEXT NOT NULL,
  turn     INTEGER NOT NULL CHECK (turn >= 0),
  by_whom  TEXT NOT NULL,
  at       TEXT NOT NULL
) STRICT;
CREATE INDEX job_detail_by_job ON job_detail (job, seq);
CREATE TRIGGER job_detail_no_change BEFORE UPDATE ON job_detail BEGIN SELECT RAISE(ABORT, 'what was said of a job never changes'); END;
CREATE TRIGGER job_detail_no_loss BEFORE DELETE ON job_detail BEGIN SELECT RAISE(ABORT, 'what was said of a job is never removed'); END;
CREATE TRIGGER job_detail_no_swap BEFORE INSERT ON job_detail
  WHEN EXISTS (SELECT 1 FROM job_detail WHERE seq = NEW.seq)
  BEGIN SELECT RAISE(ABORT, 'this was said before'); END;

-- A traveler that was made void by mistake is opened again; nothing else happens to
-- a void one.
DROP TRIGGER traveler_event_after_void;
CREATE TRIGGER traveler_event_after_void BEFORE INSERT ON traveler_event
  WHEN NEW.kind <> 'reopened' AND 'voided' = (
    SELECT kind FROM traveler_event WHERE code = NEW.code AND kind IN ('voided', 'reopened') ORDER BY seq DESC LIMIT 1)
  BEGIN SELECT RAISE(ABORT, 'nothing more happens to a void traveler'); END;

-- What a list tells of a sheet and what is looked for in it: read out of its
-- snapshot once, for a list of thousands cannot read them all.
CREATE TABLE sheet_fact (
  number    INTEGER PRIMARY KEY REFERENCES sheet (number),
  title     TEXT NOT NULL,
  material  TEXT NOT NULL,    -- in words
  thickness INTEGER NOT NULL, -- micrometres
  minutes   INTEGER NOT NULL  -- hundredths a piece, as planned
) STRICT;
CREATE VIEW sheet_told (number, title, material, thickness, minutes) AS
  SELECT number, coalesce(told ->> '$.part.title', ''), coalesce(told ->> '$.part.material', ''),
         coalesce(told ->> '$.part.thickness', 0), coalesce(told ->> '$.minutes', 0)
  FROM (SELECT s.number, iif(json_valid(CAST(t.snapshot AS TEXT)), CAST(t.snapshot AS TEXT), '{}') AS told -- a damaged one is for check to find
        FROM sheet s JOIN traveler t ON t.code = s.code);
INSERT INTO sheet_fact SELECT * FROM sheet_told;
CREATE TRIGGER fact_of_sheet AFTER INSERT ON sheet BEGIN INSERT INTO sheet_fact SELECT * FROM sheet_told WHERE number = NEW.number; END;
CREATE TRIGGER sheet_fact_no_change BEFORE UPDATE ON sheet_fact BEGIN SELECT RAISE(ABORT, 'what a sheet tells never changes'); END;
CREATE TRIGGER sheet_fact_no_loss BEFORE DELETE ON sheet_fact BEGIN SELECT RAISE(ABORT, 'what a sheet tells is never removed'); END;
CREATE TRIGGER sheet_fact_no_swap BEFORE INSERT ON sheet_fact
  WHEN EXISTS (SELECT 1 FROM sheet_fact WHERE number = NEW.number)
  BEGIN SELECT RAISE(ABORT, 'this sheet has told'); END;

-- Drafts that were removed, or kept under another name: the versions of a part's
-- revision up to one. They stay, and are in no list.
CREATE TABLE dropped_draft (
  seq      INTEGER PRIMARY KEY,
  number   TEXT NOT NULL,
  revision TEXT NOT NULL,
  upto     INTEGER NOT NULL, -- seq of the newest version that it is about
  by_whom  TEXT NOT NULL,
  at       TEXT NOT NULL
) STRICT;
CREATE INDEX dropped_draft_by_part ON dropped_draft (number, revision);
CREATE TRIGGER dropped_draft_no_change BEFORE UPDATE ON dropped_draft BEGIN SELECT RAISE(ABORT, 'what was dropped never changes'); END;
CREATE TRIGGER dropped_draft_no_loss BEFORE DELETE ON dropped_draft BEGIN SELECT RAISE(ABORT, 'what was dropped is never removed'); END;
CREATE TRIGGER dropped_draft_no_swap BEFORE INSERT ON dropped_draft
  WHEN EXISTS (SELECT 1 FROM dropped_draft WHERE seq = NEW.seq)
  BEGIN SELECT RAISE(ABORT, 'this was dropped before'); END;
