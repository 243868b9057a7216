-- Events of pain, and sessions that ended early or were taken up again. The tables stay as they are; the version tells a program that
-- does not know these events to leave the ledger alone.
INSERT INTO meta (key, value) VALUES ('events', '2') ON CONFLICT (key) DO UPDATE SET value = excluded.value;
