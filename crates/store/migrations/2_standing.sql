-- What stands now, reckoned from the log and from nothing else. `rebuild` empties and fills it.
CREATE TABLE standing (
  subject BLOB NOT NULL CHECK (length(subject) = 16),
  kind TEXT NOT NULL,
  client BLOB NOT NULL CHECK (length(client) = 16),
  at_ms INTEGER NOT NULL,                         -- when it happened, milliseconds since 1970 (UTC)
  id BLOB NOT NULL REFERENCES events (id),        -- the event that it goes back to
  state TEXT NOT NULL,                            -- what stands, in its JSON form
  PRIMARY KEY (subject, kind)
) STRICT;

CREATE INDEX standing_by_client ON standing (client, kind, at_ms, id);
CREATE INDEX standing_by_kind ON standing (kind, at_ms, id);
CREATE INDEX standing_by_event ON standing (id);
