-- A published programme names the answers, the belief and the catalogue that it was certified for. The tables stay as they are; the
-- version tells a program that does not know these fields to leave the ledger alone.
INSERT INTO meta (key, value) VALUES ('events', '3') ON CONFLICT (key) DO UPDATE SET value = excluded.value;
