-- Step 1: revisions of job.toml and the logs of building.
-- Columns end in their unit. A rule is named by the words shown when it is broken.

CREATE TABLE revisions (
  id INTEGER PRIMARY KEY,
  parent INTEGER REFERENCES revisions (id),
  at TEXT NOT NULL,
  kind TEXT NOT NULL
    CONSTRAINT "kind must be save, outside, undo or restore"
    CHECK (kind IN ('save', 'outside', 'undo', 'restore')),
  source INTEGER REFERENCES revisions (id),
  note TEXT NOT NULL,
  fingerprint TEXT NOT NULL,
  seal TEXT NOT NULL,
  body BLOB NOT NULL
) STRICT;

CREATE TABLE outcomes (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  revision INTEGER NOT NULL UNIQUE REFERENCES revisions (id),
  outcome TEXT NOT NULL
    CONSTRAINT "outcome must be placed or set aside"
    CHECK (outcome IN ('placed', 'set aside')),
  seal TEXT NOT NULL
) STRICT;

CREATE TABLE survey_readings (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  taken TEXT NOT NULL,
  revision INTEGER REFERENCES revisions (id),
  corrects INTEGER UNIQUE REFERENCES survey_readings (id),
  withdrawn INTEGER NOT NULL CONSTRAINT "withdrawn must be 0 or 1" CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL,
  note TEXT NOT NULL,
  seal TEXT NOT NULL,
  batch TEXT NOT NULL,
  from_point TEXT NOT NULL,
  to_point TEXT NOT NULL,
  kind TEXT NOT NULL
    CONSTRAINT "kind must be level, slope or height" CHECK (kind IN ('level', 'slope', 'height')),
  value_m REAL NOT NULL,
  sigma_m REAL NOT NULL CONSTRAINT "sigma_m must be above 0" CHECK (sigma_m > 0),
  written TEXT NOT NULL
) STRICT;

CREATE TABLE press_log (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  taken TEXT NOT NULL,
  revision INTEGER REFERENCES revisions (id),
  corrects INTEGER UNIQUE REFERENCES press_log (id),
  withdrawn INTEGER NOT NULL CONSTRAINT "withdrawn must be 0 or 1" CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL,
  note TEXT NOT NULL,
  seal TEXT NOT NULL,
  leg INTEGER CONSTRAINT "leg must be 1 or more, or left out" CHECK (leg >= 1),
  eye TEXT NOT NULL,
  reel TEXT NOT NULL,
  sleeve TEXT NOT NULL,
  tool TEXT NOT NULL,
  presses INTEGER NOT NULL CONSTRAINT "presses must be 1 or more" CHECK (presses >= 1),
  press_order TEXT NOT NULL,
  tail_before_m REAL CONSTRAINT "tail_before_m must be 0 or more" CHECK (tail_before_m >= 0),
  tail_after_m REAL CONSTRAINT "tail_after_m must be 0 or more" CHECK (tail_after_m >= 0),
  gauge TEXT NOT NULL
    CONSTRAINT "gauge must be passed, failed or not gauged"
    CHECK (gauge IN ('passed', 'failed', 'not gauged'))
) STRICT;

CREATE TABLE proof_pulls (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  taken TEXT NOT NULL,
  revision INTEGER REFERENCES revisions (id),
  corrects INTEGER UNIQUE REFERENCES proof_pulls (id),
  withdrawn INTEGER NOT NULL CONSTRAINT "withdrawn must be 0 or 1" CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL,
  note TEXT NOT NULL,
  seal TEXT NOT NULL,
  leg INTEGER CONSTRAINT "leg must be 1 or more, or left out" CHECK (leg >= 1),
  part TEXT NOT NULL,
  tool TEXT NOT NULL,
  pull_N REAL NOT NULL CONSTRAINT "pull_N must be above 0" CHECK (pull_N > 0),
  held_s REAL NOT NULL CONSTRAINT "held_s must be 0 or more" CHECK (held_s >= 0),
  result TEXT NOT NULL
    CONSTRAINT "result must be held, slipped or broke"
    CHECK (result IN ('held', 'slipped', 'broke'))
) STRICT;

CREATE TABLE tension_readings (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  taken TEXT NOT NULL,
  revision INTEGER REFERENCES revisions (id),
  corrects INTEGER UNIQUE REFERENCES tension_readings (id),
  withdrawn INTEGER NOT NULL CONSTRAINT "withdrawn must be 0 or 1" CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL,
  note TEXT NOT NULL,
  seal TEXT NOT NULL,
  what TEXT NOT NULL
    CONSTRAINT "what must be pull, corner, side, offset, level, opening or temperature"
    CHECK (what IN ('pull', 'corner', 'side', 'offset', 'level', 'opening', 'temperature')),
  place TEXT NOT NULL,
  value REAL NOT NULL,
  sigma REAL NOT NULL CONSTRAINT "sigma must be above 0" CHECK (sigma > 0),
  unit TEXT NOT NULL
    CONSTRAINT "unit must be N for a pull, rad for a corner, degC for a temperature, else m"
    CHECK (unit = CASE what WHEN 'pull' THEN 'N' WHEN 'corner' THEN 'rad'
      WHEN 'temperature' THEN 'degC' ELSE 'm' END),
  method TEXT NOT NULL,
  air_degC REAL,
  written TEXT NOT NULL
) STRICT;
