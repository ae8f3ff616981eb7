-- What the owner decided about a K-factor or about the handling minutes of a
-- brake. What they go by from then on is kept with the shop's figures or with
-- the brake, in the same transaction.
CREATE TABLE settlement (
  seq      INTEGER PRIMARY KEY,
  subject  TEXT NOT NULL CHECK (subject IN ('k', 'minutes')),
  name     TEXT NOT NULL, -- what it is about: the cell of the K-factor, or the brake
  kind     TEXT NOT NULL CHECK (kind IN ('accepted', 'edited', 'refused', 'returned')),
  was      REAL NOT NULL, -- gone by before
  offered  REAL NOT NULL, -- what the measurements ask for
  becomes  REAL NOT NULL, -- gone by from then on
  upon     INTEGER NOT NULL, -- seq of the version it was made upon, 0 for none
  readings INTEGER NOT NULL, -- behind the proposal
  by_whom  TEXT NOT NULL,
  at       TEXT NOT NULL
) STRICT;

CREATE TRIGGER settlement_no_change BEFORE UPDATE ON settlement BEGIN SELECT RAISE(ABORT, 'a decision never changes'); END;
CREATE TRIGGER settlement_no_loss BEFORE DELETE ON settlement BEGIN SELECT RAISE(ABORT, 'a decision is never removed'); END;
CREATE TRIGGER settlement_no_swap BEFORE INSERT ON settlement
  WHEN EXISTS (SELECT 1 FROM settlement WHERE seq = NEW.seq) BEGIN SELECT RAISE(ABORT, 'a decision is never replaced'); END;
