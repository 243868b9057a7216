-- Where somebody is signed in, the second step of signing in, and the record of who came.
ALTER TABLE sessions ADD COLUMN place TEXT NOT NULL DEFAULT '';   -- the address that it was begun from
ALTER TABLE sessions ADD COLUMN browser TEXT NOT NULL DEFAULT ''; -- what the browser said of itself, in a few words

-- The latest time that was seen: a clock that goes back shows by it.
CREATE TABLE clock (
  one INTEGER PRIMARY KEY CHECK (one = 1),
  latest_ms INTEGER NOT NULL
) STRICT;
INSERT INTO clock (one, latest_ms) SELECT 1, coalesce(max(seen_ms), 0) FROM sessions;

-- The secret that an app on the phone shares, as it is: a code cannot be made from less. Not confirmed is not asked for.
CREATE TABLE factors (
  account INTEGER PRIMARY KEY REFERENCES accounts (id),
  secret BLOB NOT NULL CHECK (length(secret) = 20),
  step INTEGER NOT NULL DEFAULT 0,                -- the last step of time whose code was used: each once
  confirmed INTEGER NOT NULL DEFAULT 0 CHECK (confirmed IN (0, 1))
) STRICT;

CREATE TABLE recovery (
  digest BLOB PRIMARY KEY CHECK (length(digest) = 32),
  account INTEGER NOT NULL REFERENCES accounts (id)
) STRICT;

-- Roles whose accounts have to have a second step.
CREATE TABLE required (
  role INTEGER PRIMARY KEY CHECK (role BETWEEN 0 AND 2)
) STRICT;

-- Who gave the right password and is asked for a code.
CREATE TABLE pending (
  digest BLOB PRIMARY KEY CHECK (length(digest) = 32),
  account INTEGER NOT NULL REFERENCES accounts (id),
  begun_ms INTEGER NOT NULL
) STRICT;

-- What was done, in classes that are bounded each for itself; rows of a class are a chain.
CREATE TABLE record (
  class INTEGER NOT NULL,
  nth INTEGER NOT NULL,
  at_ms INTEGER NOT NULL,
  deed TEXT NOT NULL,
  account INTEGER REFERENCES accounts (id),       -- none: a name that nobody has
  place TEXT NOT NULL,                            -- an address; empty on the machine itself
  client BLOB CHECK (client IS NULL OR length(client) = 16),
  link BLOB NOT NULL CHECK (length(link) = 32),
  PRIMARY KEY (class, nth)
) STRICT;
CREATE INDEX record_by_time ON record (at_ms);

-- The last row of a class that was dropped: where its chain goes on from.
CREATE TABLE record_dropped (
  class INTEGER PRIMARY KEY,
  nth INTEGER NOT NULL,
  link BLOB NOT NULL CHECK (length(link) = 32)
) STRICT;

PRAGMA user_version = 3;
