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
