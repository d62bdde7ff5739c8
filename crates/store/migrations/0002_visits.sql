-- A golfer's visits as records of their own, and which version of the program wrote a schema.

ALTER TABLE studio_schema ADD COLUMN program TEXT;

CREATE TABLE visit (
    id TEXT PRIMARY KEY NOT NULL,
    golfer_id TEXT NOT NULL REFERENCES golfer (id),
    day TEXT NOT NULL,
    about TEXT,
    by_whom TEXT NOT NULL,
    at_ms BIGINT NOT NULL,
    removed BIGINT NOT NULL,
    revision BIGINT NOT NULL,
    seq BIGINT NOT NULL,
    place BIGINT NOT NULL
);
CREATE INDEX visit_golfer ON visit (golfer_id);
