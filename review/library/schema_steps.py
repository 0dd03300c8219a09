"""The library's schema, step by step. A step is never edited once shipped; a change is a new step."""

from review.library import searching

_FIRST = """
CREATE TABLE pupil (
    id TEXT PRIMARY KEY, name TEXT NOT NULL, handedness TEXT NOT NULL, stature_m REAL,
    is_minor INTEGER NOT NULL, guardian TEXT, private_note TEXT NOT NULL,
    consent_by TEXT, consent_on TEXT, consent_for TEXT, consent_until TEXT,
    is_being_forgotten INTEGER NOT NULL DEFAULT 0
);
CREATE TABLE lesson (
    id TEXT PRIMARY KEY, pupil_id TEXT NOT NULL REFERENCES pupil(id) ON DELETE CASCADE, held_on TEXT NOT NULL,
    place TEXT NOT NULL, aim TEXT NOT NULL, aim_measures TEXT NOT NULL, repeatability TEXT NOT NULL,
    practice_plan TEXT NOT NULL, check_alone TEXT NOT NULL
);
CREATE TABLE batch (
    id TEXT PRIMARY KEY, lesson_id TEXT NOT NULL REFERENCES lesson(id) ON DELETE CASCADE, number INTEGER NOT NULL,
    started_at TEXT, cue TEXT NOT NULL, feel TEXT NOT NULL, club TEXT NOT NULL, is_closed INTEGER NOT NULL,
    UNIQUE (lesson_id, number)
);
CREATE TABLE swing (
    id TEXT PRIMARY KEY, lesson_id TEXT NOT NULL REFERENCES lesson(id) ON DELETE CASCADE, position INTEGER NOT NULL,
    kind TEXT NOT NULL, batch_id TEXT REFERENCES batch(id) ON DELETE SET NULL, pairing_probability REAL,
    pairing_source TEXT NOT NULL, left_out TEXT NOT NULL
);
CREATE TABLE clip (
    id TEXT PRIMARY KEY, lesson_id TEXT NOT NULL REFERENCES lesson(id) ON DELETE CASCADE,
    swing_id TEXT REFERENCES swing(id) ON DELETE SET NULL, sha256 TEXT NOT NULL, file TEXT NOT NULL,
    original_name TEXT NOT NULL, camera TEXT NOT NULL, view TEXT, captured_at TEXT, captured_resolution_s REAL NOT NULL,
    duration_s REAL NOT NULL, n_frames INTEGER NOT NULL, time_scale REAL NOT NULL, strike_s REAL
);
CREATE TABLE shot (
    id TEXT NOT NULL, lesson_id TEXT NOT NULL REFERENCES lesson(id) ON DELETE CASCADE,
    swing_id TEXT REFERENCES swing(id) ON DELETE SET NULL, row_number INTEGER NOT NULL, table_name TEXT NOT NULL,
    measured TEXT NOT NULL, extra TEXT NOT NULL, struck_at TEXT, time_resolution_s REAL NOT NULL, club TEXT NOT NULL,
    PRIMARY KEY (lesson_id, id)
);
CREATE TABLE trace (
    id TEXT NOT NULL, swing_id TEXT PRIMARY KEY REFERENCES swing(id) ON DELETE CASCADE, started_at TEXT NOT NULL,
    samples BLOB NOT NULL
);
CREATE TABLE key_frame (
    clip_id TEXT NOT NULL REFERENCES clip(id) ON DELETE CASCADE, name TEXT NOT NULL, time_s REAL NOT NULL,
    frame INTEGER NOT NULL, certainty REAL NOT NULL, source TEXT NOT NULL, PRIMARY KEY (clip_id, name)
);
CREATE TABLE measure (
    swing_id TEXT NOT NULL REFERENCES swing(id) ON DELETE CASCADE, name TEXT NOT NULL, key_frame TEXT NOT NULL,
    value REAL, low REAL, high REAL, own_sd REAL NOT NULL, shared_sd REAL NOT NULL, setup TEXT NOT NULL,
    bound TEXT NOT NULL, why_missing TEXT NOT NULL, method TEXT NOT NULL, PRIMARY KEY (swing_id, name, key_frame)
);
CREATE TABLE derived (
    file TEXT PRIMARY KEY, clip_sha256 TEXT NOT NULL
);
CREATE TABLE handout (
    id INTEGER PRIMARY KEY, lesson_id TEXT NOT NULL REFERENCES lesson(id) ON DELETE CASCADE, what TEXT NOT NULL,
    to_whom TEXT NOT NULL, handed_at TEXT NOT NULL
);
CREATE INDEX lesson_of_pupil ON lesson(pupil_id);
CREATE INDEX swing_of_lesson ON swing(lesson_id);
CREATE INDEX clip_of_lesson ON clip(lesson_id);
CREATE INDEX clip_by_content ON clip(sha256);
CREATE INDEX derived_of_clip ON derived(clip_sha256);
"""

_TRACES_OF_LESSON = """
CREATE TABLE trace_of_lesson (
    id TEXT NOT NULL, lesson_id TEXT NOT NULL REFERENCES lesson(id) ON DELETE CASCADE,
    swing_id TEXT REFERENCES swing(id) ON DELETE SET NULL, started_at TEXT NOT NULL, samples BLOB NOT NULL,
    PRIMARY KEY (lesson_id, id)
);
INSERT INTO trace_of_lesson (id, lesson_id, swing_id, started_at, samples)
    SELECT trace.id, swing.lesson_id, swing.id, trace.started_at, trace.samples
    FROM trace JOIN swing ON swing.id = trace.swing_id;
DROP TABLE trace;
ALTER TABLE trace_of_lesson RENAME TO trace;
CREATE INDEX trace_of_swing ON trace(swing_id);
CREATE TABLE drawing (
    id TEXT NOT NULL, clip_id TEXT NOT NULL REFERENCES clip(id) ON DELETE CASCADE, kind TEXT NOT NULL,
    points TEXT NOT NULL, start_s REAL NOT NULL, end_s REAL NOT NULL, words TEXT NOT NULL, PRIMARY KEY (clip_id, id)
);
CREATE TABLE stored (
    file TEXT PRIMARY KEY, process INTEGER NOT NULL, stored_s REAL NOT NULL
);
CREATE TABLE chore (
    name TEXT PRIMARY KEY
);
"""

_CAMERA_SETUPS = """
CREATE TABLE camera_setup (
    lesson_id TEXT NOT NULL REFERENCES lesson(id) ON DELETE CASCADE, camera TEXT NOT NULL, setup TEXT NOT NULL,
    PRIMARY KEY (lesson_id, camera)
);
"""

_TIME_SCALE_SOURCE = "ALTER TABLE clip ADD COLUMN time_scale_source TEXT NOT NULL DEFAULT ''"

# by pose model: quick and thorough each have their own
_PLAYER_SETUPS = """
CREATE TABLE player_setup (
    lesson_id TEXT NOT NULL REFERENCES lesson(id) ON DELETE CASCADE, camera TEXT NOT NULL, model TEXT NOT NULL,
    file TEXT NOT NULL, setup TEXT NOT NULL, PRIMARY KEY (lesson_id, camera, model)
);
"""

# a clip may be a part of a file: what is made from it hangs on the part, not on the file
_PARTS = """
ALTER TABLE clip ADD COLUMN begin_s REAL NOT NULL DEFAULT 0;
ALTER TABLE clip ADD COLUMN end_s REAL;
ALTER TABLE clip ADD COLUMN recording TEXT NOT NULL DEFAULT '';
ALTER TABLE clip ADD COLUMN content TEXT NOT NULL DEFAULT '';
UPDATE clip SET content = sha256;
CREATE INDEX clip_by_part ON clip(content);
CREATE INDEX clip_by_recording ON clip(recording);
ALTER TABLE derived RENAME COLUMN clip_sha256 TO clip_content;
"""

_LIVE = """
CREATE TABLE live_lesson (
    lesson_id TEXT PRIMARY KEY REFERENCES lesson(id) ON DELETE CASCADE, began_at TEXT NOT NULL, ended_at TEXT,
    watched TEXT NOT NULL, rows_before TEXT NOT NULL
);
CREATE TABLE arrival (
    lesson_id TEXT NOT NULL REFERENCES lesson(id) ON DELETE CASCADE, item TEXT NOT NULL, seen_at TEXT NOT NULL,
    path TEXT NOT NULL, size INTEGER NOT NULL, changed_ns INTEGER NOT NULL, PRIMARY KEY (lesson_id, item)
);
CREATE INDEX arrival_by_path ON arrival(path);
CREATE TABLE said (
    lesson_id TEXT NOT NULL REFERENCES lesson(id) ON DELETE CASCADE, item TEXT NOT NULL, what TEXT NOT NULL,
    value TEXT NOT NULL, said_by TEXT NOT NULL, PRIMARY KEY (lesson_id, item, what)
);
INSERT INTO said (lesson_id, item, what, value, said_by)
    SELECT swing.lesson_id, clip.id, 'kind', swing.kind, 'coach' FROM swing JOIN clip ON clip.swing_id = swing.id
    WHERE swing.kind NOT IN ('shot', 'practice');
"""

_STRIKES = "ALTER TABLE clip ADD COLUMN strikes TEXT NOT NULL DEFAULT '[]'"

# a clip that is forgotten leaves its numbers with the camera, without a trace of whose they were
_SEEN_AND_HEARD = """
CREATE TABLE seen_and_heard (
    id INTEGER PRIMARY KEY, camera TEXT NOT NULL, clip_id TEXT UNIQUE REFERENCES clip(id) ON DELETE SET NULL,
    heard_late_s REAL NOT NULL, within_s REAL NOT NULL
);
CREATE INDEX seen_and_heard_by_camera ON seen_and_heard(camera);
"""

_CONDITIONS = """
ALTER TABLE batch ADD COLUMN target TEXT NOT NULL DEFAULT '';
ALTER TABLE batch ADD COLUMN ball TEXT NOT NULL DEFAULT ''
"""
"""At what and with which ball a batch was hit: batches that differ in it are compared with a warning."""

# the record of a consent stays when it is withdrawn
_CONSENT_WITHDRAWN = "ALTER TABLE pupil ADD COLUMN consent_withdrawn TEXT"

# a drawing may follow a point of the body
_TIED_DRAWINGS = """
ALTER TABLE drawing ADD COLUMN tied_to TEXT NOT NULL DEFAULT '';
ALTER TABLE drawing ADD COLUMN tied_at_s REAL NOT NULL DEFAULT 0;
ALTER TABLE drawing ADD COLUMN accent INTEGER NOT NULL DEFAULT 0
"""

# what was spoken; one that nothing names any longer goes when the run that held it has ended
_VOICES = """
CREATE TABLE voice (
    id TEXT PRIMARY KEY, lesson_id TEXT NOT NULL REFERENCES lesson(id) ON DELETE CASCADE, file TEXT NOT NULL,
    duration_s REAL NOT NULL, recorded_at TEXT NOT NULL, is_pupils INTEGER NOT NULL, process INTEGER NOT NULL,
    held_s REAL NOT NULL
);
CREATE TABLE talk_over (
    id TEXT PRIMARY KEY, lesson_id TEXT NOT NULL REFERENCES lesson(id) ON DELETE CASCADE, voice_id TEXT NOT NULL,
    made_at TEXT NOT NULL, log TEXT NOT NULL
);
CREATE INDEX voice_of_lesson ON voice(lesson_id);
CREATE INDEX talk_over_of_lesson ON talk_over(lesson_id)
"""

# what the coach says of a mark of their own
_MARK_NOTES = "ALTER TABLE key_frame ADD COLUMN note TEXT NOT NULL DEFAULT ''"

# how the pressure mat lay under the player
_PRESSURE_MAT = """
CREATE TABLE pressure_mat (lesson_id TEXT PRIMARY KEY REFERENCES lesson(id) ON DELETE CASCADE, mat TEXT NOT NULL)
"""

# search over what was written; and what hangs on a swing or a batch is found without going through all of them
_SEARCH = f"""
{searching.STEP};
CREATE INDEX clip_of_swing ON clip(swing_id);
CREATE INDEX shot_of_swing ON shot(swing_id);
CREATE INDEX swing_of_batch ON swing(batch_id)
"""

# backups made and whom they hold; the coach's rules; swings kept for good, clips let go; numbers of a newer method that
# wait beside those in use until they are accepted
_KEEPING_HOUSE = """
CREATE TABLE backup (id TEXT PRIMARY KEY, folder TEXT NOT NULL, begun_at TEXT NOT NULL, made_at TEXT);
CREATE TABLE backed_up (
    backup_id TEXT NOT NULL REFERENCES backup(id) ON DELETE CASCADE,
    pupil_id TEXT NOT NULL REFERENCES pupil(id) ON DELETE CASCADE, PRIMARY KEY (backup_id, pupil_id)
);
CREATE INDEX backed_up_of_pupil ON backed_up(pupil_id);
CREATE TABLE rule (name TEXT PRIMARY KEY, value TEXT NOT NULL);
CREATE TABLE kept_swing (
    swing_id TEXT NOT NULL REFERENCES swing(id) ON DELETE CASCADE, why TEXT NOT NULL, PRIMARY KEY (swing_id, why)
);
ALTER TABLE clip ADD COLUMN let_go_on TEXT;
CREATE INDEX clip_by_file ON clip(file);
CREATE TABLE measured_again (
    swing_id TEXT PRIMARY KEY REFERENCES swing(id) ON DELETE CASCADE, method TEXT NOT NULL, made_from TEXT NOT NULL,
    measures TEXT NOT NULL, key_frames TEXT NOT NULL, trouble TEXT NOT NULL
)
"""

STEPS: tuple[str, ...] = (
    *(_FIRST, _TRACES_OF_LESSON, _CAMERA_SETUPS, _TIME_SCALE_SOURCE, _PLAYER_SETUPS, _PARTS, _LIVE),
    _STRIKES,
    _SEEN_AND_HEARD,
    _CONDITIONS,
    _CONSENT_WITHDRAWN,
    _TIED_DRAWINGS,
    _VOICES,
    _MARK_NOTES,
    _PRESSURE_MAT,
    _SEARCH,
    _KEEPING_HOUSE,
)
"""Step i brings the schema from version i to i + 1."""
