-- Step 2: the logs of upkeep.

CREATE TABLE inspections (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  taken TEXT NOT NULL,
  revision INTEGER REFERENCES revisions (id),
  corrects INTEGER UNIQUE REFERENCES inspections (id),
  withdrawn INTEGER NOT NULL CONSTRAINT "withdrawn must be 0 or 1" CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL,
  note TEXT NOT NULL,
  seal TEXT NOT NULL,
  part TEXT NOT NULL,
  occasion TEXT NOT NULL,
  finding TEXT NOT NULL
    CONSTRAINT "finding must be sound, watch or act" CHECK (finding IN ('sound', 'watch', 'act')),
  seen TEXT NOT NULL,
  done TEXT NOT NULL
) STRICT;

CREATE TABLE recordings (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL,
  who TEXT NOT NULL,
  taken TEXT NOT NULL,
  revision INTEGER REFERENCES revisions (id),
  corrects INTEGER UNIQUE REFERENCES recordings (id),
  withdrawn INTEGER NOT NULL CONSTRAINT "withdrawn must be 0 or 1" CHECK (withdrawn IN (0, 1)),
  why TEXT NOT NULL,
  note TEXT NOT NULL,
  seal TEXT NOT NULL,
  leg INTEGER CONSTRAINT "leg must be 1 or more, or left out" CHECK (leg >= 1),
  path TEXT NOT NULL
    CONSTRAINT "path must be a file in readings/" CHECK (path GLOB 'readings/?*'),
  sha256 TEXT NOT NULL
    CONSTRAINT "sha256 must be 64 hexadecimal digits"
    CHECK (length(sha256) = 64 AND sha256 NOT GLOB '*[^0-9a-f]*'),
  span_m REAL CONSTRAINT "span_m must be above 0" CHECK (span_m > 0),
  pull_N REAL CONSTRAINT "pull_N must be 0 or more" CHECK (pull_N >= 0),
  sigma_N REAL CONSTRAINT "sigma_N must be above 0" CHECK (sigma_N > 0),
  refused TEXT NOT NULL
) STRICT;
