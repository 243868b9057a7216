-- The log: what happened, in the order of arrival. Rows are added and never changed.
CREATE TABLE events (
  seq INTEGER PRIMARY KEY,                        -- order of arrival, from 1, without gaps
  id BLOB NOT NULL UNIQUE CHECK (length(id) = 16),
  client BLOB NOT NULL CHECK (length(client) = 16),
  kind TEXT NOT NULL,
  subject BLOB NOT NULL CHECK (length(subject) = 16), -- what the event is about, with its kind
  subject_kind TEXT NOT NULL,
  body TEXT NOT NULL,                             -- the event in its JSON form
  chain BLOB NOT NULL CHECK (length(chain) = 32)  -- SHA-256 of the chain of the row before and this body
) STRICT;

CREATE INDEX events_by_subject ON events (subject, subject_kind, seq);
CREATE INDEX events_by_client ON events (client, seq);

CREATE TRIGGER events_never_change BEFORE UPDATE ON events
BEGIN SELECT RAISE(ABORT, 'the log is only added to'); END;

CREATE TRIGGER events_never_go BEFORE DELETE ON events
BEGIN SELECT RAISE(ABORT, 'the log is only added to'); END;

CREATE TABLE meta (
  key TEXT PRIMARY KEY,
  value TEXT NOT NULL
) STRICT;

PRAGMA application_id = 0x53574c47;
