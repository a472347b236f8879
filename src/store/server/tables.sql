-- The tables of a book of clampbook, made once by the owner of the database.
-- The role ROLE works with them: it adds to log and history, and never changes them.
CREATE SCHEMA clampbook;
-- What the book says of itself: one row, once there is a book.
CREATE TABLE clampbook.book (
    id uuid PRIMARY KEY,
    form smallint NOT NULL,
    lists text NOT NULL,
    generation bigint NOT NULL,
    change uuid NOT NULL,
    next bigint NOT NULL,
    fasteners bigint NOT NULL,
    settings bigint NOT NULL,
    ledger bigint NOT NULL,
    reference jsonb NOT NULL,
    reference_generation bigint NOT NULL,
    only_one boolean NOT NULL DEFAULT true UNIQUE CHECK (only_one)
);
-- Each fastener as a line of a backup; null where it was removed.
CREATE TABLE clampbook.fasteners (
    number bigint PRIMARY KEY,
    generation bigint NOT NULL,
    row jsonb
);
CREATE INDEX fasteners_generation ON clampbook.fasteners (generation);
-- Every change that was stored.
CREATE TABLE clampbook.changes (
    id uuid PRIMARY KEY,
    generation bigint NOT NULL,
    stored timestamptz NOT NULL DEFAULT now()
);
-- Log, history, wrenches, layouts, bolt sets and notes: lines of a backup.
CREATE TABLE clampbook.ledger (
    place bigint PRIMARY KEY,
    change uuid NOT NULL REFERENCES clampbook.changes,
    row jsonb NOT NULL
);
GRANT USAGE ON SCHEMA clampbook TO ROLE;
GRANT SELECT, INSERT, UPDATE ON clampbook.book, clampbook.fasteners TO ROLE;
GRANT SELECT, INSERT ON clampbook.changes, clampbook.ledger TO ROLE;
