-- Bends in tolerance count those that are flagged too; only the mean leaves them
-- out. The tally counted otherwise: it is added up anew when the service starts.
DELETE FROM tally;
