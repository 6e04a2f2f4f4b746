-- The first schema: guests, the sheets issued to them and what they drew.
-- Times are whole milliseconds since 1970-01-01 UTC (…_ms), angles degrees
-- (…_deg), clockwise on the sheet positive. Documents are JSON as bytes.
-- Deleting a learner deletes, by cascade, everything of theirs.

-- +goose Up
PRAGMA application_id = 0x42787772;

-- AUTOINCREMENT: the number of a deleted learner never comes back, so that a
-- request still under way for the old one cannot write into a new one.
CREATE TABLE learner (
    id         INTEGER PRIMARY KEY AUTOINCREMENT,
    created_ms INTEGER NOT NULL
) STRICT;

-- A browser's cookie holds a token; here is only its SHA-256.
CREATE TABLE session (
    token_hash BLOB    NOT NULL PRIMARY KEY CHECK (length(token_hash) = 32),
    learner    INTEGER NOT NULL REFERENCES learner (id) ON DELETE CASCADE,
    seen_ms    INTEGER NOT NULL,
    expires_ms INTEGER NOT NULL CHECK (expires_ms > seen_ms)
) STRICT, WITHOUT ROWID;
CREATE INDEX session_learner ON session (learner, expires_ms);
CREATE INDEX session_expires ON session (expires_ms);

-- An issued exercise, answers included: attempts are graded from doc, also
-- after the generator has changed.
CREATE TABLE exercise (
    id        TEXT    NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    learner   INTEGER NOT NULL REFERENCES learner (id) ON DELETE CASCADE,
    generator INTEGER NOT NULL CHECK (generator >= 0),
    kind      TEXT    NOT NULL CHECK (length(kind) BETWEEN 1 AND 32),
    view      TEXT    NOT NULL CHECK (view IN ('none', 'one', 'two', 'three')),
    level     INTEGER NOT NULL CHECK (level BETWEEN 1 AND 10),
    seed      TEXT    NOT NULL CHECK (length(seed) BETWEEN 1 AND 20), -- decimal: it may exceed 63 bits
    doc       BLOB    NOT NULL,
    issued_ms INTEGER NOT NULL
) STRICT;
CREATE INDEX exercise_learner ON exercise (learner, issued_ms);

-- A handed-in drawing: the figures that lists and progress read.
CREATE TABLE attempt (
    id          TEXT    NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64), -- made by the client
    exercise    TEXT    NOT NULL REFERENCES exercise (id) ON DELETE CASCADE,
    learner     INTEGER NOT NULL REFERENCES learner (id) ON DELETE CASCADE,
    received_ms INTEGER NOT NULL,
    started_ms  INTEGER,                                   -- null: not told
    hash        BLOB    NOT NULL CHECK (length(hash) = 32), -- of the document: tells a repeat from another drawing
    pointer     TEXT    NOT NULL CHECK (length(pointer) BETWEEN 1 AND 16),
    kind        TEXT    NOT NULL CHECK (length(kind) BETWEEN 1 AND 32),
    view        TEXT    NOT NULL CHECK (view IN ('none', 'one', 'two', 'three')),
    level       INTEGER NOT NULL CHECK (level BETWEEN 1 AND 10),
    score       INTEGER NOT NULL CHECK (score BETWEEN 0 AND 100),
    lines       INTEGER NOT NULL CHECK (lines >= 0),        -- graded ones
    rms_deg     REAL             CHECK (rms_deg >= 0),      -- over the graded lines; null: none was drawn
    -- What this drawing added to the learner's hand history, square degrees
    -- at 80 mm and degrees of freedom.
    hand_sum_sq REAL    NOT NULL CHECK (hand_sum_sq >= 0),
    hand_dof    REAL    NOT NULL CHECK (hand_dof >= 0)
) STRICT;
CREATE INDEX attempt_learner ON attempt (learner, received_ms);
CREATE INDEX attempt_exercise ON attempt (exercise);

-- The drawing itself, apart from the figures so that reading those does not
-- page through it: head is the attempt document without its strokes, strokes
-- the pen's samples as package ink packs them.
CREATE TABLE attempt_doc (
    attempt TEXT NOT NULL PRIMARY KEY REFERENCES attempt (id) ON DELETE CASCADE,
    head    BLOB NOT NULL,
    strokes BLOB NOT NULL,
    grade   BLOB NOT NULL
) STRICT;

-- What each set of edges of each box of a drawing amounts to; a drill without
-- sets has one row with an empty name.
CREATE TABLE attempt_set (
    attempt        TEXT    NOT NULL REFERENCES attempt (id) ON DELETE CASCADE,
    box            INTEGER NOT NULL CHECK (box >= 0),
    name           TEXT    NOT NULL CHECK (length(name) <= 32),
    lines          INTEGER NOT NULL CHECK (lines > 0),
    rms_deg        REAL    NOT NULL CHECK (rms_deg >= 0),
    bias_deg       REAL    NOT NULL CHECK (bias_deg >= 0),    -- rms of what the whole pencil shares
    scatter_deg    REAL    NOT NULL CHECK (scatter_deg >= 0), -- rms of the rest
    sum_signed_deg REAL    NOT NULL,                          -- sum of the lines' signed errors
    turn_deg       REAL,                                      -- the whole pencil turned; null: not determined
    early_deg      REAL,                                      -- it meets too early (+) or late (-); null likewise
    PRIMARY KEY (attempt, box, name)
) STRICT, WITHOUT ROWID;

-- The learner's own drawing noise with each pointer: sums over all attempts.
CREATE TABLE hand (
    learner INTEGER NOT NULL REFERENCES learner (id) ON DELETE CASCADE,
    pointer TEXT    NOT NULL CHECK (length(pointer) BETWEEN 1 AND 16),
    sum_sq  REAL    NOT NULL CHECK (sum_sq >= 0),
    dof     REAL    NOT NULL CHECK (dof >= 0),
    PRIMARY KEY (learner, pointer)
) STRICT, WITHOUT ROWID;
