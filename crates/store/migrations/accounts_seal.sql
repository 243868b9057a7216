-- The checksum of all that says who may come. Rows change in place, so there is no chain as in the ledger: it is made anew with each change,
-- and each change is refused when the one before does not hold.
CREATE TABLE seal (
  one INTEGER PRIMARY KEY CHECK (one = 1),
  digest BLOB NOT NULL CHECK (length(digest) = 32)
) STRICT;

PRAGMA user_version = 2;
