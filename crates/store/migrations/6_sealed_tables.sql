-- The log: what happened, in the order of arrival. Rows are added and never changed, but that what is said of a client who is forgotten is
-- taken out of them. What is sealed is sealed under the client's key.
CREATE TABLE events (
  seq INTEGER PRIMARY KEY,                        -- order of arrival, from 1, without gaps
  client BLOB NOT NULL CHECK (length(client) = 16), -- of one who was forgotten: an identifier that says nothing
  nth INTEGER NOT NULL,                           -- its place among those of its client, from 1, without gaps
  id BLOB UNIQUE CHECK (length(id) = 16),
  kind TEXT,
  subject BLOB CHECK (length(subject) = 16),      -- what the event is about, with its kind
  subject_kind TEXT,
  key_version INTEGER,
  sealed BLOB,                                    -- the event in its JSON form, under the client's key
  leaf BLOB NOT NULL CHECK (length(leaf) = 32),   -- SHA-256 of client, identifier, kind, length and what is sealed
  own BLOB NOT NULL CHECK (length(own) = 32),     -- SHA-256 of the client's link before, the place and the leaf
  chain BLOB NOT NULL CHECK (length(chain) = 32), -- SHA-256 of the chain of the row before and of `own`
  CHECK ((sealed IS NULL) = (id IS NULL) AND (sealed IS NULL) = (kind IS NULL) AND (sealed IS NULL) = (subject IS NULL)
    AND (sealed IS NULL) = (subject_kind IS NULL) AND (sealed IS NULL) = (key_version IS NULL))
) STRICT;

CREATE INDEX events_by_subject ON events (subject, subject_kind, seq);
CREATE INDEX events_by_client ON events (client, seq);

-- Where the chain of each client has come to.
CREATE TABLE heads (
  client BLOB PRIMARY KEY CHECK (length(client) = 16),
  nth INTEGER NOT NULL,
  own BLOB NOT NULL CHECK (length(own) = 32),
  erased INTEGER NOT NULL DEFAULT 0 CHECK (erased IN (0, 1))
) STRICT;

-- Who was forgotten: by a mark that only who has the root key can make of an identifier.
CREATE TABLE erasures (
  mark BLOB PRIMARY KEY CHECK (length(mark) = 32),
  client BLOB NOT NULL UNIQUE CHECK (length(client) = 16), -- what the rows are kept under now
  at TEXT NOT NULL,
  events INTEGER NOT NULL
) STRICT;

-- What those are called who wrote events, each under a mark that is made of the name with the root key. Events have the mark alone.
CREATE TABLE people (
  person BLOB PRIMARY KEY CHECK (length(person) = 16),
  name BLOB NOT NULL                              -- under the root key
) STRICT;

-- Copies that were made of this ledger, as far as it knows: who is forgotten is in those that were made before.
CREATE TABLE copies (
  path TEXT PRIMARY KEY,
  at TEXT NOT NULL,
  events INTEGER NOT NULL                         -- how many events are in it
) STRICT;

-- What stands now, reckoned from the log and from nothing else. `rebuild` empties and fills it. What is needed to find it is open, what it
-- says is sealed.
CREATE TABLE standing (
  subject BLOB NOT NULL CHECK (length(subject) = 16),
  kind TEXT NOT NULL,
  client BLOB NOT NULL CHECK (length(client) = 16),
  at_ms INTEGER NOT NULL,                         -- when it happened, milliseconds since 1970 (UTC)
  id BLOB NOT NULL REFERENCES events (id),        -- the event that it goes back to
  session BLOB CHECK (length(session) = 16),      -- of a set: the session that it was done in
  sealed BLOB NOT NULL,                           -- what stands, in its JSON form
  PRIMARY KEY (subject, kind)
) STRICT;

CREATE INDEX standing_by_client ON standing (client, kind, at_ms, id);
CREATE INDEX standing_by_kind ON standing (kind, at_ms, id);
CREATE INDEX standing_by_event ON standing (id);
-- A page of a session asks for its sets alone; without this every set of the client would be read for them.
CREATE INDEX standing_sets_by_session ON standing (session, at_ms, id) WHERE kind = 'set';

CREATE TRIGGER events_never_go BEFORE DELETE ON events
BEGIN SELECT RAISE(ABORT, 'the log is only added to'); END;

CREATE TRIGGER events_never_change BEFORE UPDATE ON events
WHEN NOT (NEW.sealed IS NULL AND NEW.seq = OLD.seq AND NEW.nth = OLD.nth AND NEW.leaf = OLD.leaf AND NEW.own = OLD.own
  AND NEW.chain = OLD.chain AND EXISTS (SELECT 1 FROM heads WHERE client = NEW.client AND erased = 1))
BEGIN SELECT RAISE(ABORT, 'the log is only added to'); END;
