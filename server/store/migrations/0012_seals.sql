-- What was stored is held to its seals. A seal of a table that is only added to
-- covers its rows after the seal before, up to one, by their rowid: it is the
-- SHA-256 of that earlier seal and of those rows, so that no row can be changed,
-- left out or put between without a seal that differs. Every row has one of its
-- own; only the readings of before share some.
CREATE TABLE seal (
  of_table TEXT NOT NULL,
  upto     INTEGER NOT NULL,
  digest   BLOB NOT NULL CHECK (length(digest) = 32),
  PRIMARY KEY (of_table, upto)
) STRICT, WITHOUT ROWID;
CREATE TRIGGER seal_no_change BEFORE UPDATE ON seal BEGIN SELECT RAISE(ABORT, 'a seal never changes'); END;
CREATE TRIGGER seal_no_loss BEFORE DELETE ON seal BEGIN SELECT RAISE(ABORT, 'a seal is never removed'); END;
CREATE TRIGGER seal_no_swap BEFORE INSERT ON seal
  WHEN EXISTS (SELECT 1 FROM seal WHERE of_table = NEW.of_table AND upto = NEW.upto)
  BEGIN SELECT RAISE(ABORT, 'this seal exists'); END;

-- A reading carries its seal, which spares each a page more to write. Those that
-- were there carry none.
ALTER TABLE reading ADD COLUMN seal BLOB;

-- What may change carries the SHA-256 of its row.
ALTER TABLE setting ADD COLUMN seal BLOB;
ALTER TABLE person ADD COLUMN seal BLOB;
ALTER TABLE session ADD COLUMN seal BLOB;
