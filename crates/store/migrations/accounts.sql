-- Accounts of people who come over a network. Unlike the ledger this may change in place: a password is replaced, a session
-- ends. No secret is here as it is: passwords as argon2id, links and sessions as SHA-256 of 32 bytes of chance.
CREATE TABLE accounts (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL,
  plain TEXT NOT NULL UNIQUE,                     -- the name in small letters: nobody shares it
  role INTEGER NOT NULL CHECK (role BETWEEN 0 AND 2),
  hash TEXT,                                      -- none until the set-up link was used
  disabled INTEGER NOT NULL DEFAULT 0 CHECK (disabled IN (0, 1)),
  added_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE theirs (
  account INTEGER NOT NULL REFERENCES accounts (id),
  client BLOB NOT NULL CHECK (length(client) = 16),
  PRIMARY KEY (account, client)
) STRICT;

CREATE TABLE links (
  digest BLOB PRIMARY KEY CHECK (length(digest) = 32),
  account INTEGER NOT NULL UNIQUE REFERENCES accounts (id), -- a new link ends the one before
  until_ms INTEGER NOT NULL
) STRICT;

CREATE TABLE sessions (
  digest BLOB PRIMARY KEY CHECK (length(digest) = 32),
  account INTEGER NOT NULL REFERENCES accounts (id),
  begun_ms INTEGER NOT NULL,
  seen_ms INTEGER NOT NULL
) STRICT;

CREATE INDEX sessions_by_account ON sessions (account);

PRAGMA application_id = 0x53574143;
PRAGMA user_version = 1;
