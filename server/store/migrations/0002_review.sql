-- The review adds up the readings that teach, cell by cell: this index alone
-- answers it.
CREATE INDEX reading_review ON reading (material, thickness, bar, brake, received, error, in_tolerance, id)
  WHERE teaches = 1;
