-- What is said of people is sealed. The tables are made by the step that seals what is there (`sqlite/sealing.rs`); the version tells a
-- program that cannot open it to leave the ledger alone.
INSERT INTO meta (key, value) VALUES ('events', '4') ON CONFLICT (key) DO UPDATE SET value = excluded.value;
